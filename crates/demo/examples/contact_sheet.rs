//! Writes one picture of each kind into a folder, to be looked at.

use demo::pictures::{BoardState, CellState, DeviceSide, Finish, Held, ParcelState, Picture, draw};
use domain::device::DeviceKind;

fn main() -> anyhow::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| ".".to_owned());
    std::fs::create_dir_all(&folder)?;
    let pictures = [
        ("board-scorched", Picture::Board(BoardState::Scorched), 11),
        ("board-clean", Picture::Board(BoardState::Clean), 11),
        ("board-corroded", Picture::Board(BoardState::Corroded), 12),
        ("board-part-off", Picture::Board(BoardState::PartOff), 13),
        (
            "phone-cracked",
            Picture::Device(DeviceKind::Phone, DeviceSide::FrontCracked, Finish::Dark),
            14,
        ),
        (
            "phone-on",
            Picture::Device(DeviceKind::Phone, DeviceSide::FrontOn, Finish::Rose),
            15,
        ),
        (
            "tablet-striped",
            Picture::Device(DeviceKind::Tablet, DeviceSide::FrontStriped, Finish::Blue),
            16,
        ),
        (
            "tablet-back",
            Picture::Device(DeviceKind::Tablet, DeviceSide::BackWorn, Finish::Light),
            17,
        ),
        (
            "laptop-on",
            Picture::Device(DeviceKind::Laptop, DeviceSide::FrontOn, Finish::Grey),
            18,
        ),
        (
            "handheld-off",
            Picture::Device(DeviceKind::Handheld, DeviceSide::FrontOff, Finish::Red),
            19,
        ),
        (
            "cell-flat",
            Picture::Cell {
                state: CellState::Flat,
                mah: 4310,
            },
            20,
        ),
        (
            "cell-swollen",
            Picture::Cell {
                state: CellState::Swollen,
                mah: 4310,
            },
            21,
        ),
        ("parcel-crushed", Picture::Parcel(ParcelState::Crushed), 22),
        ("parcel-retaped", Picture::Parcel(ParcelState::Retaped), 23),
        (
            "supply",
            Picture::Supply {
                millivolts: 3812,
                milliamperes: 437,
            },
            24,
        ),
        ("packing", Picture::Packing, 25),
    ];
    for (index, (name, picture, thing)) in pictures.into_iter().enumerate() {
        let started = std::time::Instant::now();
        let jpeg = draw(picture, thing, 100 + index as u64, Held::Plain);
        println!(
            "{name}: {} bytes in {} ms",
            jpeg.len(),
            started.elapsed().as_millis()
        );
        std::fs::write(format!("{folder}/{name}.jpg"), jpeg)?;
    }
    Ok(())
}
