//! Photos in pairs: before at the left, after at the right. Those without a partner follow, two beside each other.

use std::rc::Rc;

use super::super::set::{self, SMALL};
use super::Spread;
use crate::error::PaperError;
use crate::layout::canvas::{MUTED, Pen, RULE, Role};
use crate::layout::flow::Brick;
use crate::layout::text::{Line, Span, single_line, wrap};
use crate::model::{Photo, ReturnReport};
use crate::picture::{Album, Placeable};

/// No picture stands higher than this: four pairs with captions of one line go on an A4 page.
const HEIGHT_MAX: f32 = 155.0;
const EMPTY_HEIGHT: f32 = 60.0;

struct Placed {
    picture: Placeable,
    width: f32,
    height: f32,
    alternative: String,
}

/// The heading and one brick a pair.
pub(super) fn bricks(
    report: &ReturnReport,
    spread: &Spread,
    album: &mut Album,
) -> Result<Vec<Brick>, PaperError> {
    let mut bricks = Vec::new();
    if report.photos.is_empty() {
        return Ok(bricks);
    }
    let head = Rc::new(head(report, spread));
    bricks.push((*head).clone().before(12.0).keep());
    for pair in &report.photos {
        let row = Row {
            left: pair.before.as_ref(),
            right: pair.after.as_ref(),
            names: [&report.wording.before, &report.wording.after],
            absent: Some(&report.wording.no_photo),
        };
        bricks.extend(row.bricks(spread, album, &head)?);
    }
    Ok(bricks)
}

/// The photos without a partner, with a heading of their own.
pub(super) fn grid(
    report: &ReturnReport,
    spread: &Spread,
    album: &mut Album,
) -> Result<Vec<Brick>, PaperError> {
    let mut bricks = Vec::new();
    if report.more_photos.is_empty() {
        return Ok(bricks);
    }
    let title = single_line(&[Span::new(&report.wording.more_photos, set::SECTION)]);
    let head = Rc::new(
        Brick::new(19.0, move |pen, x, y| pen.text(&title, x, y + 10.0)).role(Role::Heading),
    );
    bricks.push((*head).clone().before(12.0).keep());
    for two in report.more_photos.chunks(2) {
        let row = Row {
            left: two.first(),
            right: two.get(1),
            names: [&report.wording.photos, &report.wording.photos],
            absent: None,
        };
        bricks.extend(row.bricks(spread, album, &head)?);
    }
    Ok(bricks)
}

fn head(report: &ReturnReport, spread: &Spread) -> Brick {
    let title = single_line(&[
        Span::new(&report.wording.photos, set::SECTION),
        Span::new(format!("   {}", report.wording.before), SMALL),
    ]);
    let after = single_line(&[Span::new(&report.wording.after, SMALL)]);
    let offset = spread.right - spread.left;
    Brick::new(19.0, move |pen, x, y| {
        pen.text(&title, x, y + 10.0);
        pen.text(&after, x + offset, y + 10.0);
    })
    .role(Role::Heading)
}

/// Two photos beside each other.
struct Row<'a> {
    left: Option<&'a Photo>,
    right: Option<&'a Photo>,
    /// What each is called when it has no caption.
    names: [&'a str; 2],
    /// What stands where a photo should be and isn't; `None` where none is needed.
    absent: Option<&'a str>,
}

impl Row<'_> {
    /// The pictures with the beginning of their captions, whole; what is left of a long caption goes on below.
    fn bricks(
        &self,
        spread: &Spread,
        album: &mut Album,
        head: &Rc<Brick>,
    ) -> Result<Vec<Brick>, PaperError> {
        let column = spread.column;
        let [left_name, right_name] = self.names;
        let left = place(self.left, column, left_name, album)?;
        let right = place(self.right, column, right_name, album)?;
        let [left_caption, right_caption] =
            [self.left, self.right].map(|photo| set::first_and_rest(caption(photo, column)));
        let (captions, rests) = (
            [left_caption.0, right_caption.0],
            [left_caption.1, right_caption.1],
        );
        let height_of =
            |placed: &Option<Placed>| placed.as_ref().map_or(0.0, |placed| placed.height);
        let pictures = height_of(&left).max(height_of(&right)).max(EMPTY_HEIGHT);
        let caption_height = captions
            .iter()
            .map(|lines| set::lines_height(lines))
            .fold(0.0, f32::max);
        let absent = self
            .absent
            .map(|word| single_line(&[Span::new(word, SMALL)]));
        let offset = spread.right - spread.left;
        let [left_caption, right_caption] = captions;
        let pair = Brick::new(pictures + caption_height + 5.0, move |pen, x, y| {
            for (placed, lines, x) in [
                (&left, &left_caption, x),
                (&right, &right_caption, x + offset),
            ] {
                match placed {
                    Some(placed) => pen.tagged(Role::Figure, &placed.alternative, |pen| {
                        pen.picture(&placed.picture.id, x, y, placed.width, placed.height);
                    }),
                    None => {
                        if let Some(word) = &absent {
                            draw_absent(pen, word, x, y, column);
                        }
                    }
                }
                let below = placed.as_ref().map_or(EMPTY_HEIGHT, |placed| placed.height);
                pen.tagged(Role::Paragraph, "", |pen| {
                    set::draw_lines(pen, lines, x, y + below + 3.0);
                });
            }
        })
        .before(7.0);
        let mut bricks = vec![pair.under(head)];
        for (rest, indent) in rests.into_iter().zip([0.0, offset]) {
            let lines = set::followed_by(Brick::new(0.0, |_, _, _| {}), rest, indent);
            bricks.extend(lines.into_iter().skip(1).map(|line| line.under(head)));
        }
        Ok(bricks)
    }
}

fn draw_absent(pen: &mut Pen<'_>, word: &Line, x: f32, y: f32, width: f32) {
    pen.rule(
        (x, y + EMPTY_HEIGHT),
        (x + width, y + EMPTY_HEIGHT),
        RULE,
        0.6,
    );
    pen.rule((x, y), (x + width, y), RULE, 0.6);
    pen.text_centred(word, x + width / 2.0, y + EMPTY_HEIGHT / 2.0 + 3.0);
}

fn place(
    photo: Option<&Photo>,
    column: f32,
    fallback: &str,
    album: &mut Album,
) -> Result<Option<Placed>, PaperError> {
    let Some(photo) = photo else { return Ok(None) };
    let picture = album.add(&photo.picture)?;
    let height = (column / picture.aspect).min(HEIGHT_MAX);
    let width = height * picture.aspect;
    let alternative = if photo.caption.is_empty() {
        fallback
    } else {
        &photo.caption
    };
    Ok(Some(Placed {
        picture,
        width,
        height,
        alternative: alternative.to_owned(),
    }))
}

fn caption(photo: Option<&Photo>, width: f32) -> Vec<Line> {
    let style = crate::layout::text::Style {
        colour: MUTED,
        ..SMALL
    };
    photo.map_or_else(Vec::new, |photo| {
        wrap(&[Span::new(&photo.caption, style)], width)
    })
}
