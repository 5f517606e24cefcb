use std::cell::RefCell;

use super::*;

const FRAME: Frame = Frame {
    page_width: 100.0,
    page_height: 120.0,
    left: 10.0,
    right: 90.0,
    top: 10.0,
    bottom: 110.0,
};

type Log = Rc<RefCell<Vec<(&'static str, f32, f32)>>>;

/// A brick that records where it was drawn.
fn brick(log: &Log, name: &'static str, height: f32) -> Brick {
    let log = Rc::clone(log);
    Brick::new(height, move |_, x, y| log.borrow_mut().push((name, x, y)))
}

fn check(bricks: impl FnOnce(&Log) -> Vec<Brick>, expected: &[(&'static str, f32)], pages: usize) {
    let log = Log::default();
    let bricks = bricks(&log);
    let mut flow = Flow::spaced(FRAME, 1.0);
    flow.column(&bricks);
    let drawn: Vec<_> = log
        .borrow()
        .iter()
        .map(|(name, _, y)| (*name, *y))
        .collect();
    assert_eq!(drawn, expected);
    assert_eq!(flow.canvas.page_count(), pages);
}

#[test]
fn bricks_go_down_the_page_with_their_space() {
    check(
        |log| vec![brick(log, "a", 20.0), brick(log, "b", 20.0).before(5.0)],
        &[("a", 10.0), ("b", 35.0)],
        1,
    );
}

#[test]
fn a_brick_that_does_not_fit_begins_a_page_without_its_space() {
    check(
        |log| vec![brick(log, "a", 90.0), brick(log, "b", 20.0).before(5.0)],
        &[("a", 10.0), ("b", 10.0)],
        2,
    );
}

#[test]
fn a_heading_is_never_alone_at_a_page_foot() {
    check(
        |log| {
            vec![
                brick(log, "a", 80.0),
                brick(log, "heading", 10.0).keep(),
                brick(log, "b", 20.0),
            ]
        },
        &[("a", 10.0), ("heading", 10.0), ("b", 20.0)],
        2,
    );
}

#[test]
fn a_head_is_printed_again_on_each_page() {
    check(
        |log| {
            let head = Rc::new(brick(log, "head", 10.0));
            let mut bricks = vec![(*head).clone().keep()];
            bricks
                .extend([brick(log, "1", 60.0), brick(log, "2", 60.0)].map(|row| row.under(&head)));
            bricks
        },
        &[("head", 10.0), ("1", 20.0), ("head", 10.0), ("2", 20.0)],
        2,
    );
}

#[test]
fn a_chain_longer_than_a_page_is_broken_all_the_same() {
    check(
        |log| {
            vec![
                brick(log, "a", 40.0).keep(),
                brick(log, "b", 40.0).keep(),
                brick(log, "c", 40.0),
            ]
        },
        &[("a", 10.0), ("b", 10.0), ("c", 50.0)],
        2,
    );
}

#[test]
fn a_brick_higher_than_a_page_is_drawn_once() {
    check(
        |log| vec![brick(log, "a", 300.0), brick(log, "b", 10.0)],
        &[("a", 10.0), ("b", 10.0)],
        2,
    );
}

#[test]
fn facing_columns_begin_level_and_the_longer_one_decides_what_follows() {
    let log = Log::default();
    let mut flow = Flow::spaced(FRAME, 1.0);
    let left = [brick(&log, "left", 30.0)];
    let right = [brick(&log, "right", 60.0), brick(&log, "right again", 60.0)];
    let (start, end) = flow.facing((&left, 10.0), (&right, 55.0));
    flow.column(&[brick(&log, "after", 10.0)]);
    let drawn = log.borrow().clone();
    assert_eq!(
        drawn,
        [
            ("left", 10.0, 10.0),
            ("right", 55.0, 10.0),
            ("right again", 55.0, 10.0),
            ("after", 10.0, 70.0)
        ]
    );
    assert_eq!((start.page, end.page), (0, 1));
}

/// Sets a short left column beside a right one of these heights. Returns where each was drawn, `(name, left, top)`, and the last page.
fn spread_beside(heights: &[(&'static str, f32)]) -> (Vec<(&'static str, f32, f32)>, usize) {
    let log = Log::default();
    let head = Rc::new(brick(&log, "head", 10.0));
    let left = [brick(&log, "left", 30.0)];
    let right: Vec<Brick> = heights
        .iter()
        .map(|(name, height)| brick(&log, name, *height).under(&head))
        .collect();
    let mut flow = Flow::spaced(FRAME, 1.0);
    let (_, end) = flow.spread((&left, 10.0), (&right, 55.0));
    let drawn = log.borrow().clone();
    (drawn, end.page)
}

#[test]
fn what_is_left_of_the_longer_column_goes_on_over_both_in_two_of_one_height() {
    let (drawn, last) = spread_beside(&[
        ("1", 60.0),
        ("2", 50.0),
        ("3", 20.0),
        ("4", 20.0),
        ("5", 40.0),
    ]);
    assert_eq!(
        drawn,
        [
            ("left", 10.0, 10.0),
            ("1", 55.0, 10.0),
            ("head", 10.0, 10.0),
            ("2", 10.0, 20.0),
            ("3", 10.0, 70.0),
            ("head", 55.0, 10.0),
            ("4", 55.0, 20.0),
            ("5", 55.0, 40.0),
        ]
    );
    assert_eq!(last, 1);
}

#[test]
fn columns_that_end_on_one_page_stand_as_facing_ones() {
    let (drawn, last) = spread_beside(&[("1", 60.0), ("2", 40.0)]);
    assert_eq!(
        drawn,
        [("left", 10.0, 10.0), ("1", 55.0, 10.0), ("2", 55.0, 70.0)]
    );
    assert_eq!(last, 0);
}

#[test]
fn over_many_pages_every_brick_is_drawn_once_and_in_order() {
    let names = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];
    for height in [10.0, 35.0, 80.0, 99.0, 300.0] {
        let (drawn, _) = spread_beside(&names.map(|name| (name, height)));
        let bricks = drawn.iter().map(|(name, ..)| *name);
        let bricks: Vec<_> = bricks
            .filter(|name| !["head", "left"].contains(name))
            .collect();
        assert_eq!(bricks, names, "bricks of {height} points");
        let over = drawn
            .iter()
            .filter(|(name, _, y)| names.contains(name) && height < 90.0 && y + height > 110.0);
        assert_eq!(
            over.count(),
            0,
            "bricks of {height} points reach below the page"
        );
    }
}

#[test]
fn room_that_is_needed_begins_a_page_only_when_it_is_missing() {
    let mut flow = Flow::spaced(FRAME, 1.0);
    flow.need(100.0);
    assert_eq!(flow.cursor, Cursor { page: 0, y: 10.0 });
    flow.column(&[Brick::new(50.0, |_, _, _| {})]);
    flow.need(50.0);
    assert_eq!(flow.cursor.page, 0);
    flow.need(50.1);
    assert_eq!(flow.cursor, Cursor { page: 1, y: 10.0 });
}

#[test]
fn a_tighter_flow_shrinks_the_white_and_nothing_else() {
    let log = Log::default();
    let bricks = [brick(&log, "a", 60.0), brick(&log, "b", 36.0).before(10.0)];
    let mut usual = Flow::spaced(FRAME, 1.0);
    usual.column(&bricks);
    let mut tight = Flow::spaced(FRAME, 0.4);
    tight.column(&bricks);
    assert_eq!(
        (usual.canvas.page_count(), tight.canvas.page_count()),
        (2, 1)
    );
    assert_eq!(log.borrow().last(), Some(&("b", 10.0, 74.0)));
    assert!((tight.height_of(&bricks) - 100.0).abs() < 0.001);
}
