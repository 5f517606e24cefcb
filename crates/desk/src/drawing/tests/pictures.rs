//! Which photos stand beside each other on the report, and which stand alone.

use domain::fact::PhotoPlace;

use super::bench::closed;

#[test]
fn photos_stand_beside_the_one_they_name_else_in_order() {
    let bench = closed();
    let gathered = super::super::report::Gathered::of;
    let job = bench.desk.job(bench.job_id).unwrap();
    let gathered = gathered(&bench.desk, &job).unwrap();
    let gallery = super::super::pictures::gallery(&bench.desk, &gathered.told()).unwrap();
    let captions: Vec<(bool, bool)> = gallery
        .pairs
        .iter()
        .map(|pair| {
            let has = |photo: &Option<papers::model::Photo>, part: &str| {
                photo
                    .as_ref()
                    .is_some_and(|photo| photo.caption.contains(part))
            };
            (
                has(&pair.before, "charging port") && has(&pair.after, "cleaned port"),
                has(&pair.before, "green deposit") && has(&pair.after, "new controller"),
            )
        })
        .collect();
    assert_eq!(captions, [(true, false), (false, true)]);
}

#[test]
fn a_photo_that_proves_nothing_by_comparison_needs_no_partner() {
    let bench = closed();
    bench.photo(PhotoPlace::Work, "the joint under the microscope", 90, None);
    bench.photo(PhotoPlace::Before, "dead before", 70, None);
    let job = bench.desk.job(bench.job_id).unwrap();
    let gathered = super::super::report::Gathered::of(&bench.desk, &job).unwrap();
    let gallery = super::super::pictures::gallery(&bench.desk, &gathered.told()).unwrap();
    let more: Vec<&str> = gallery
        .more
        .iter()
        .map(|photo| photo.caption.as_str())
        .collect();
    assert_eq!(more.len(), 1);
    assert!(more[0].contains("under the microscope"), "{more:?}");
    let without_after = gallery
        .pairs
        .iter()
        .filter(|pair| pair.after.is_none())
        .count();
    assert_eq!(without_after, 1, "a before without its after says so");
}
