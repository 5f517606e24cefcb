use domain::device::DeviceKind;

use super::*;

#[test]
fn the_same_seeds_draw_the_same_picture() {
    let draw = || draw(Picture::Board(BoardState::Scorched), 7, 9, Held::Plain);
    assert_eq!(draw(), draw());
}

#[test]
fn another_thing_and_another_shot_give_another_picture() {
    let drawn = |thing, shot| {
        draw(
            Picture::Cell {
                state: CellState::Flat,
                mah: 4000,
            },
            thing,
            shot,
            Held::Plain,
        )
    };
    assert_ne!(drawn(7, 9), drawn(8, 9));
    assert_ne!(drawn(7, 9), drawn(7, 10));
}

#[test]
fn every_picture_is_taken_in_upright_and_without_its_place() {
    let pictures = [
        Picture::Board(BoardState::Clean),
        Picture::Device(DeviceKind::Phone, DeviceSide::FrontCracked, Finish::Blue),
        Picture::Cell {
            state: CellState::Swollen,
            mah: 4000,
        },
        Picture::Parcel(ParcelState::Crushed),
        Picture::Supply {
            millivolts: 3800,
            milliamperes: 42,
        },
        Picture::Packing,
    ];
    for (index, picture) in pictures.into_iter().enumerate() {
        for held in [Held::Plain, Held::WithPlace, Held::Sideways] {
            let seed = index as u64;
            let jpeg = draw(picture, seed, seed, held);
            let has_exif = jpeg.windows(6).any(|bytes| bytes == b"Exif\0\0");
            assert_eq!(has_exif, held != Held::Plain);
            let taken = photos::intake(&jpeg, &photos::Limits::default()).unwrap();
            assert_eq!((taken.width_px, taken.height_px), (1600, 1200));
            assert!(!taken.jpeg.windows(4).any(|bytes| bytes == b"Exif"));
        }
    }
}
