//! Quotes and answers: which answer counts for which price, and what people disagree on.

use super::*;

#[test]
fn an_answer_to_an_earlier_quote_does_not_agree_to_the_new_price() {
    let mut entries = story(11);
    entries.push(based_on(50, quote(19_900), &[10]));
    let job = fold(&entries);
    assert_eq!(job.agreement, Agreement::Waiting);
    assert_eq!(job.exceptions.len(), 1);
    check_block(&entries, Station::Work, Block::NotAgreed);
}

#[test]
fn two_quotes_set_apart_are_a_disagreement_that_one_more_edit_settles() {
    let mut entries = story(9);
    entries.push(at(50, quote(8_900)));
    entries.push(at(51, quote(9_900)));
    let job = fold(&entries);
    assert!(job.quote.is_disputed());
    assert_eq!(job.quote_total, Some(Money::new(9_900, Currency::EUR)));
    assert!(job.holds.contains(&HoldReason::Disagreement));
    entries.push(based_on(52, quote(8_900), &[50, 51]));
    assert!(!fold(&entries).quote.is_disputed());
}

#[test]
fn two_equal_quotes_set_apart_are_no_disagreement() {
    let mut entries = story(9);
    entries.extend([at(50, quote(8_900)), at(51, quote(8_900))]);
    assert!(!fold(&entries).quote.is_disputed());
}

#[test]
fn a_refused_quote_leads_straight_to_the_report() {
    let mut entries = story(10);
    entries.push(at(50, answer(10, Answer::Refuse)));
    let job = fold(&entries);
    assert_eq!(
        (job.stage, job.next),
        (Stage::Packing, Some(Station::Report))
    );
    check_block(&entries, Station::Work, Block::NotAgreed);
}

#[test]
fn a_question_holds_the_job_and_shows_the_question() {
    let mut entries = story(10);
    entries.push(at(50, answer(10, Answer::Ask)));
    assert_eq!(
        fold(&entries).holds,
        [HoldReason::ShopAsked {
            question: "why?".to_owned()
        }]
    );
}
