use super::*;

/// The size in millimetres of a mark of this shape.
fn check(aspect: f32, width_mm: f32, height_mm: f32) {
    let mark = Placeable {
        id: "P".to_owned(),
        aspect,
    };
    let (width, height) = mark_size(&mark);
    let near = |points: f32, mm: f32| (points / POINTS_PER_MM - mm).abs() < 0.05;
    assert!(
        near(width, width_mm) && near(height, height_mm),
        "{width} by {height} points"
    );
}

#[test]
fn a_mark_of_any_shape_fills_its_box_in_one_direction_and_leaves_it_in_none() {
    check(1.0, 14.0, 14.0);
    check(3.0, 42.0, 14.0);
    check(20.0, 42.0, 2.1);
    check(0.05, 0.7, 14.0);
    check(1200.0, 42.0, 0.035);
}

fn paragraphs(count: usize) -> Vec<String> {
    vec!["We keep removed parts for 30 days.".to_owned(); count]
}

fn height(count: usize) -> (usize, f32) {
    let bricks = terms("Terms", &paragraphs(count), 500.0);
    (bricks.len(), stack_height(&bricks))
}

#[test]
fn short_terms_stand_in_two_columns_and_long_ones_can_go_on_from_page_to_page() {
    assert_eq!(terms("Terms", &[], 500.0).len(), 0);
    let (one, _) = height(1);
    assert_eq!(one, 3, "a heading, its white, a line");
    let (four, high) = height(4);
    assert_eq!(four, 3, "a heading, its white, two columns as one");
    let (five, higher) = height(5);
    assert_eq!(five, 3);
    assert!(higher > high);
    let (many, _) = height(200);
    assert_eq!(many, 202, "a brick a line, each free to begin a page");
}
