//! Letters made of strokes, as silk screen and labels have them.

use super::canvas::{Canvas, Colour, Frame, Point, at};

/// Strokes of each sign on a grid four wide and six high. Strokes are parted by a space; a stroke is a row of digit pairs.
const SIGNS: &[(char, &str)] = &[
    ('A', "0602204246 0444"),
    ('B', "0006 003041423303 3344453606"),
    ('C', "4130100105163645"),
    ('D', "0006264442200000"),
    ('E', "40000646 0333"),
    ('F', "400006 0333"),
    ('G', "41301001051636454323"),
    ('H', "0006 4046 0343"),
    ('I', "2026 1030 1636"),
    ('J', "404536160504"),
    ('K', "0006 4003 0346"),
    ('L', "000646"),
    ('M', "0600234046"),
    ('N', "06004640"),
    ('O', "103041453616050110"),
    ('P', "06003041423303"),
    ('Q', "103041453616050110 2446"),
    ('R', "06003041423303 2346"),
    ('S', "413010010213334445361605"),
    ('T', "0040 2026"),
    ('U', "000516364540"),
    ('V', "002640"),
    ('W', "0016233640"),
    ('X', "0046 4006"),
    ('Y', "002340 2326"),
    ('Z', "00400646"),
    ('0', "103041453616050110"),
    ('1', "112026 1636"),
    ('2', "01103041420646"),
    ('3', "01103041423313 334445361605"),
    ('4', "36300444"),
    ('5', "400003334445361605"),
    ('6', "4130100105163645443303"),
    ('7', "004016"),
    ('8', "13020110304142331304051636454433"),
    ('9', "0516364541301001021343"),
    ('-', "1333"),
    ('+', "1333 2224"),
    ('.', "2526"),
    (':', "2122 2425"),
    ('/', "0640"),
    ('%', "0640 0011 3546"),
];

/// Draws a text from its upper left corner; `height` is that of a capital letter. Signs it has no strokes for stay blank.
pub(super) fn write(
    canvas: &mut Canvas,
    frame: &Frame,
    start: Point,
    height: f32,
    (colour, share): (Colour, f32),
    text: &str,
) {
    let unit = height / 6.0;
    for (index, sign) in text.to_uppercase().chars().enumerate() {
        let left = start.x + index as f32 * unit * 5.8;
        let Some((_, strokes)) = SIGNS.iter().find(|(known, _)| *known == sign) else {
            continue;
        };
        for stroke in strokes.split_whitespace() {
            let corners: Vec<Point> = stroke
                .as_bytes()
                .chunks_exact(2)
                .map(|pair| {
                    at(
                        left + f32::from(pair[0] - b'0') * unit,
                        start.y + f32::from(pair[1] - b'0') * unit,
                    )
                })
                .collect();
            for pair in corners.windows(2) {
                canvas.line(
                    frame,
                    pair[0],
                    pair[1],
                    (height / 7.5).max(1.3),
                    colour,
                    share,
                );
            }
        }
    }
}

/// How wide a text comes out.
pub(super) fn width_of(text: &str, height: f32) -> f32 {
    text.chars().count() as f32 * height / 6.0 * 5.8 - height / 6.0 * 1.8
}
