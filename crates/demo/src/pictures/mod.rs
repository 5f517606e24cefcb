//! Pictures of boards, devices, cells and parcels: drawn, not photographed, and never twice the same.
//!
//! Each is drawn from what it shows and a seed. A pair of pictures before and after shares the seed of its board, so that the
//! second shows the same board with the harm gone. Nothing here is of any real maker.

#![expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    reason = "pixels and random numbers stay far below 2^24, which an f32 holds exactly"
)]

mod board;
mod camera;
mod canvas;
mod cell;
mod device;
mod lettering;
mod noise;
mod parcel;
mod parts;
mod table;

use canvas::Canvas;
use domain::device::DeviceKind;

use crate::random::Dice;

/// What is wrong on a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoardState {
    /// Burnt at the part in question.
    Scorched,
    /// White and green crust from liquid.
    Corroded,
    /// The part in question is off, its pads are bare.
    PartOff,
    /// Clean, with a fresh part.
    Clean,
}

/// What a cell looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CellState {
    /// Flat.
    Flat,
    /// Blown up by gas.
    Swollen,
    /// With dried liquid on it.
    Wet,
}

/// What a parcel looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ParcelState {
    /// As it should.
    Sound,
    /// One corner pressed in.
    Crushed,
    /// Wet on one side.
    Wet,
    /// Taped again over the first tape.
    Retaped,
}

/// The face of a device and what is to be seen on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeviceSide {
    /// The screen, dark.
    FrontOff,
    /// The screen, lit.
    FrontOn,
    /// The screen, lit, with stripes that should not be there.
    FrontStriped,
    /// The screen, dark and cracked.
    FrontCracked,
    /// The back.
    Back,
    /// The back, scratched and dented.
    BackWorn,
}

/// The colour of a case.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finish {
    /// Nearly black.
    Dark,
    /// Middle grey.
    Grey,
    /// White or silver.
    Light,
    /// Blue.
    Blue,
    /// Green.
    Green,
    /// Red.
    Red,
    /// Rose.
    Rose,
    /// Yellow.
    Yellow,
}

impl Finish {
    /// The finish that goes by a colour's name; grey for one that is not known.
    pub fn named(colour: &str) -> Self {
        match colour {
            "graphite" | "black" => Self::Dark,
            "white" | "silver" => Self::Light,
            "blue" => Self::Blue,
            "green" => Self::Green,
            "red" => Self::Red,
            "rose" => Self::Rose,
            "yellow" => Self::Yellow,
            _ => Self::Grey,
        }
    }
}

/// What a picture shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picture {
    /// A board from above.
    Board(BoardState),
    /// A device.
    Device(DeviceKind, DeviceSide, Finish),
    /// The cell in its device.
    Cell {
        /// What it looks like.
        state: CellState,
        /// What its label says, in milliampere-hours.
        mah: u32,
    },
    /// A closed parcel.
    Parcel(ParcelState),
    /// The supply on the bench: volts and milliamperes as shown.
    Supply {
        /// Millivolts.
        millivolts: u32,
        /// Milliamperes.
        milliamperes: u32,
    },
    /// A return parcel, open.
    Packing,
}

/// How the camera held it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    /// A JPEG without anything besides its pixels.
    Plain,
    /// Held upright, with the place and the time in the file, as a telephone writes them.
    WithPlace,
    /// Held sideways: the pixels lie on their side and the file says how to turn them, with the place as well.
    Sideways,
}

/// How good the JPEGs are: of a telephone's usual kind.
const QUALITY: u8 = 84;

/// Draws a picture and encodes it as JPEG. `thing` is the seed of what is shown, `shot` that of this one picture of it.
pub fn draw(picture: Picture, thing: u64, shot: u64, held: Held) -> Vec<u8> {
    let mut dice = Dice::new(shot ^ 0x5407);
    let mut canvas = Canvas::new([120.0, 124.0, 128.0]);
    match picture {
        Picture::Board(state) => board::draw(&mut canvas, thing, &mut dice, state),
        Picture::Device(kind, side, finish) => {
            device::draw(&mut canvas, thing, &mut dice, kind, side, finish);
        }
        Picture::Cell { state, mah } => cell::draw(&mut canvas, thing, &mut dice, state, mah),
        Picture::Parcel(state) => parcel::draw(&mut canvas, thing, &mut dice, state),
        Picture::Supply {
            millivolts,
            milliamperes,
        } => {
            table::supply(&mut canvas, &mut dice, millivolts, milliamperes);
        }
        Picture::Packing => parcel::draw_open(&mut canvas, thing, &mut dice),
    }
    canvas.expose(shot);
    camera::encode(canvas.into_bytes(), held)
}

#[cfg(test)]
mod tests;
