//! Every device and its story.

use domain::device::DeviceKind::{Handheld, Laptop, Phone, Tablet};
use domain::fact::JobOutcome;

use super::remedies::Fault;
use super::{Fate, JobPlan, Model, Twist};

/// Arvo Nine.
pub const NINE: Model = Model {
    kind: Phone,
    maker: "Arvo",
    name: "Nine",
    cell_mah: 4310,
    cells: 1,
};
const NINE_MINI: Model = Model {
    kind: Phone,
    maker: "Arvo",
    name: "Nine Slim",
    cell_mah: 3120,
    cells: 1,
};
const TAVIRA: Model = Model {
    kind: Phone,
    maker: "Tavira",
    name: "M2",
    cell_mah: 4805,
    cells: 1,
};
const OSTRIK: Model = Model {
    kind: Phone,
    maker: "Ostrik",
    name: "Pebble 4",
    cell_mah: 3960,
    cells: 1,
};
const LUMEN: Model = Model {
    kind: Tablet,
    maker: "Lumen",
    name: "Tab 11",
    cell_mah: 4010,
    cells: 2,
};
const BRENVA: Model = Model {
    kind: Tablet,
    maker: "Brenva",
    name: "Slate 8",
    cell_mah: 3075,
    cells: 2,
};
const QUILLON: Model = Model {
    kind: Laptop,
    maker: "Quillon",
    name: "Book 14",
    cell_mah: 5100,
    cells: 3,
};
const FERRAND: Model = Model {
    kind: Laptop,
    maker: "Ferrand",
    name: "Folio 13",
    cell_mah: 4420,
    cells: 3,
};
const NIMREL: Model = Model {
    kind: Handheld,
    maker: "Nimrel",
    name: "Roam",
    cell_mah: 4200,
    cells: 1,
};
const CASSOU: Model = Model {
    kind: Handheld,
    maker: "Cassou",
    name: "Field 7 scanner",
    cell_mah: 5110,
    cells: 1,
};

const fn job(
    key: &'static str,
    (model, colour, number): (&'static Model, &'static str, u32),
    (fault, words, tried): (Fault, &'static str, &'static str),
    fate: Fate,
) -> JobPlan {
    JobPlan {
        key,
        model,
        colour,
        number,
        fault,
        words,
        tried,
        accessories: &[],
        fate,
        twist: Twist::None,
    }
}

const fn but(mut plan: JobPlan, twist: Twist) -> JobPlan {
    plan.twist = twist;
    plan
}

const fn with(mut plan: JobPlan, accessories: &'static [&'static str]) -> JobPlan {
    plan.accessories = accessories;
    plan
}

const REPAIRED: Fate = Fate::Closed(JobOutcome::Repaired);

/// All of them.
pub const JOBS: &[JobPlan] = &[
    // Elektra.
    but(
        job(
            "e1",
            (&NINE, "graphite", 1),
            (
                Fault::MainRail,
                "Dead, no power at all. Customer says it got hot once and then nothing.",
                "Other charger, other cable.",
            ),
            REPAIRED,
        ),
        Twist::Passcode,
    ),
    with(
        job(
            "e2",
            (&LUMEN, "silver", 2),
            (
                Fault::Charging,
                "Does not charge, port feels loose.",
                "Cleaned the port.",
            ),
            REPAIRED,
        ),
        &["case", "charger"],
    ),
    job(
        "e3",
        (&OSTRIK, "green", 3),
        (
            Fault::Microphones,
            "Nobody hears the customer in a call, recordings are silent.",
            "",
        ),
        REPAIRED,
    ),
    but(
        job(
            "e4",
            (&TAVIRA, "blue", 4),
            (
                Fault::Display,
                "Screen stays black but it rings.",
                "New screen, still black.",
            ),
            REPAIRED,
        ),
        Twist::Mistyped,
    ),
    job(
        "e5",
        (&NINE_MINI, "rose", 5),
        (
            Fault::Network,
            "No service with any SIM.",
            "Three SIM cards, network reset.",
        ),
        Fate::Refused,
    ),
    job(
        "e6",
        (&NIMREL, "red", 6),
        (
            Fault::Keys,
            "Right stick drifts and the shoulder key does nothing.",
            "",
        ),
        Fate::Closed(JobOutcome::RepairedInPart),
    ),
    but(
        job(
            "e7",
            (&NINE, "white", 7),
            (
                Fault::Liquid,
                "Fell into the sea, dead since, customer needs the photos.",
                "Opened and dried, not charged.",
            ),
            Fate::Closed(JobOutcome::DataOnly),
        ),
        Twist::Passcode,
    ),
    job(
        "e8",
        (&QUILLON, "grey", 8),
        (
            Fault::Laptop,
            "Shuts down when it gets hot, won't start for an hour after.",
            "Fan cleaned.",
        ),
        Fate::Quoted,
    ),
    job(
        "e9",
        (&OSTRIK, "black", 9),
        (
            Fault::Touch,
            "Touch is dead in the lower third, new screen did not help.",
            "Two screens.",
        ),
        Fate::Agreed,
    ),
    job(
        "e10",
        (&BRENVA, "black", 10),
        (
            Fault::BootLoop,
            "Hangs at the logo and starts again and again.",
            "Update from a computer, fails.",
        ),
        Fate::CellChecked,
    ),
    job(
        "e11",
        (&NIMREL, "grey", 41),
        (Fault::Charging, "Charges in the dock only.", ""),
        Fate::LookedOver,
    ),
    // Lasta.
    job(
        "l1",
        (&TAVIRA, "black", 11),
        (
            Fault::Charging,
            "Charges only with the plug one way up, then stops.",
            "New port flex.",
        ),
        REPAIRED,
    ),
    job(
        "l2",
        (&OSTRIK, "white", 12),
        (Fault::MainRail, "No power after a drop.", "New battery."),
        Fate::Refused,
    ),
    but(
        job(
            "l3",
            (&NINE, "graphite", 13),
            (Fault::Network, "Loses the network after a minute.", ""),
            REPAIRED,
        ),
        Twist::WrongCheckDigit,
    ),
    job(
        "l4",
        (&CASSOU, "yellow", 14),
        (Fault::Charging, "Does not charge in any cradle.", ""),
        REPAIRED,
    ),
    job(
        "l5",
        (&CASSOU, "yellow", 15),
        (Fault::Keys, "Trigger key dead.", ""),
        Fate::Closed(JobOutcome::NoFaultFound),
    ),
    job(
        "l6",
        (&LUMEN, "grey", 16),
        (
            Fault::Wifi,
            "Wi-Fi very weak, one bar beside the router.",
            "",
        ),
        Fate::Asked,
    ),
    job(
        "l7",
        (&FERRAND, "silver", 17),
        (
            Fault::Laptop,
            "Dead after coffee on the keyboard.",
            "Dried for two days.",
        ),
        Fate::Closed(JobOutcome::BeyondEconomicRepair),
    ),
    job(
        "l8",
        (&NINE, "blue", 18),
        (
            Fault::Display,
            "Dark screen, with a lamp the picture can be seen.",
            "New screen.",
        ),
        Fate::ForPart,
    ),
    job(
        "l9",
        (&OSTRIK, "green", 19),
        (Fault::Microphones, "Microphone silent on loudspeaker.", ""),
        Fate::Awaited,
    ),
    job(
        "l10",
        (&TAVIRA, "blue", 20),
        (Fault::BootLoop, "Restarts every three minutes.", ""),
        Fate::Awaited,
    ),
    // Nordljus.
    but(
        job(
            "n1",
            (&NINE, "white", 21),
            (
                Fault::Charging,
                "Does not charge. USB port was replaced, no change.",
                "New port.",
            ),
            REPAIRED,
        ),
        Twist::Passcode,
    ),
    job(
        "n2",
        (&BRENVA, "white", 22),
        (
            Fault::Display,
            "Lines across the screen, also with a new one.",
            "New screen.",
        ),
        REPAIRED,
    ),
    job(
        "n3",
        (&QUILLON, "grey", 23),
        (Fault::Laptop, "No power, short on the board.", ""),
        Fate::Closed(JobOutcome::NotRepairable),
    ),
    with(
        job(
            "n4",
            (&NIMREL, "grey", 24),
            (Fault::Charging, "Will not charge, battery flat.", ""),
            REPAIRED,
        ),
        &["dock"],
    ),
    job(
        "n5",
        (&OSTRIK, "black", 25),
        (Fault::Touch, "Ghost touch, it opens apps by itself.", ""),
        REPAIRED,
    ),
    but(
        job(
            "n6",
            (&TAVIRA, "green", 26),
            (Fault::Network, "Searching for network all the time.", ""),
            Fate::Awaited,
        ),
        Twist::Missing,
    ),
    job(
        "n7",
        (&NINE_MINI, "black", 27),
        (
            Fault::Microphones,
            "No sound in calls, loudspeaker rattles.",
            "",
        ),
        REPAIRED,
    ),
    job(
        "n8",
        (&LUMEN, "silver", 28),
        (Fault::MainRail, "Dead. Shows nothing on the ammeter.", ""),
        Fate::Disputed,
    ),
    job(
        "n9",
        (&FERRAND, "blue", 29),
        (Fault::Laptop, "Fan runs full, then it shuts off.", ""),
        Fate::OnHold,
    ),
    but(
        job(
            "n10",
            (&NINE, "white", 21),
            (Fault::Charging, "Again: charges, but very slow.", ""),
            Fate::Tested,
        ),
        Twist::Comeback,
    ),
    job(
        "n11",
        (&BRENVA, "black", 30),
        (Fault::Wifi, "Wi-Fi greyed out.", ""),
        Fate::Swapped,
    ),
    job(
        "n12",
        (&OSTRIK, "white", 42),
        (Fault::Display, "Green screen after an update.", ""),
        Fate::Counted,
    ),
    // Hoshi.
    job(
        "h1",
        (&NIMREL, "red", 31),
        (Fault::Keys, "Left stick drifts.", "Compressed air."),
        REPAIRED,
    ),
    job(
        "h2",
        (&TAVIRA, "white", 32),
        (Fault::Liquid, "Fell into the bath, on and off since.", ""),
        REPAIRED,
    ),
    job(
        "h3",
        (&NINE_MINI, "rose", 33),
        (
            Fault::Touch,
            "Screen stays on the lock picture, no touch.",
            "",
        ),
        REPAIRED,
    ),
    but(
        job(
            "h4",
            (&QUILLON, "grey", 34),
            (Fault::Laptop, "Starts, then dead after ten minutes.", ""),
            Fate::Worked,
        ),
        Twist::Passcode,
    ),
    job(
        "h5",
        (&OSTRIK, "green", 35),
        (
            Fault::Charging,
            "Battery bent the back open after a night on the charger.",
            "",
        ),
        Fate::Swollen,
    ),
    job(
        "h6",
        (&LUMEN, "grey", 36),
        (
            Fault::BootLoop,
            "Update failed, restore error.",
            "Restore from a computer.",
        ),
        REPAIRED,
    ),
    job(
        "h7",
        (&NINE, "blue", 37),
        (Fault::Network, "No network since a fall.", ""),
        Fate::Proving,
    ),
    job(
        "h8",
        (&CASSOU, "black", 38),
        (
            Fault::MainRail,
            "Lay a year in a drawer, does not start.",
            "",
        ),
        Fate::Watched,
    ),
    job(
        "h9",
        (&BRENVA, "white", 39),
        (Fault::Display, "Picture flickers.", ""),
        Fate::Awaited,
    ),
    job(
        "h10",
        (&TAVIRA, "black", 40),
        (Fault::Wifi, "Wi-Fi drops.", ""),
        Fate::Awaited,
    ),
    job(
        "h11",
        (&NINE_MINI, "white", 43),
        (
            Fault::Microphones,
            "Caller hears nothing, the loudspeaker is fine.",
            "",
        ),
        REPAIRED,
    ),
];

/// A job by its name in the story.
pub fn plan(key: &str) -> &'static JobPlan {
    JOBS.iter()
        .find(|job| job.key == key)
        .expect("parcels name only jobs of the table")
}
