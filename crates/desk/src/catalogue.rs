//! A first catalogue of tests, recorded when a lab is founded. From then on it is the lab's own.
//!
//! Groups and tests are common practice, no source; limits come from public USB summaries and stand to be changed by the lab
//! for its own instruments.

use std::collections::BTreeSet;

use domain::device::DeviceKind;
use domain::fact::{TestCode, TestDefinition, TestKind};
use domain::reading::{Limits, Unit};

const ALL: &[DeviceKind] = &DeviceKind::ALL;
const HANDHELD: &[DeviceKind] = &[DeviceKind::Phone, DeviceKind::Tablet, DeviceKind::Handheld];
const PHONE: &[DeviceKind] = &[DeviceKind::Phone];
const LAPTOP: &[DeviceKind] = &[DeviceKind::Laptop];

struct First {
    code: &'static str,
    group: &'static str,
    title: &'static str,
    how: &'static str,
    attached: &'static str,
    kinds: &'static [DeviceKind],
    words: &'static [&'static str],
    kind: TestKind,
}

const fn between(unit: Unit, low_micro: i64, high_micro: i64) -> TestKind {
    TestKind::Reading {
        unit,
        limits: Limits {
            low_micro: Some(low_micro),
            high_micro: Some(high_micro),
        },
    }
}

const fn at_most_seconds(seconds: i64) -> TestKind {
    TestKind::Timed {
        limits: Limits {
            low_micro: None,
            high_micro: Some(seconds * 1_000_000),
        },
    }
}

const PASS_FAIL: TestKind = TestKind::PassFail;

const FIRST: &[First] = &[
    First {
        code: "power.start",
        group: "power",
        title: "Starts up",
        how: "Press and hold the power key until something shows.",
        attached: "display, battery or supply",
        kinds: ALL,
        words: &[
            "no power",
            "dead",
            "not start",
            "won't start",
            "does not start",
            "not turn on",
            "turn on",
            "boot",
        ],
        kind: PASS_FAIL,
    },
    First {
        code: "power.start_time",
        group: "power",
        title: "Start-up time",
        how: "Time from the key to the first screen that answers touch or keys.\nUnder a minute is usual; several minutes is a fault in itself.",
        attached: "display, battery",
        kinds: ALL,
        words: &["slow", "boot", "start"],
        kind: at_most_seconds(60),
    },
    First {
        code: "power.off_current",
        group: "power",
        title: "Current when off",
        how: "Supply at battery voltage, device off, wait until the reading is steady.",
        attached: "bench supply in place of the battery",
        kinds: ALL,
        words: &["drain", "no power", "short", "dead", "leak"],
        kind: between(Unit::Ampere, 0, 5_000),
    },
    First {
        code: "power.boot_current",
        group: "power",
        title: "Highest current at start",
        how: "Supply at battery voltage, press the power key, note the highest steady value.",
        attached: "bench supply in place of the battery",
        kinds: ALL,
        words: &["no power", "boot", "dead"],
        kind: between(Unit::Ampere, 100_000, 2_500_000),
    },
    First {
        code: "charge.current",
        group: "charging",
        title: "Charging current",
        how: "Battery under half full, maker's charger and a known good cable; read after a minute.",
        attached: "battery, charging port",
        kinds: ALL,
        words: &["charg", "port", "usb"],
        kind: between(Unit::Ampere, 500_000, 3_250_000),
    },
    First {
        code: "charge.wireless",
        group: "charging",
        title: "Charges without a cable",
        how: "Place on a known good pad for a minute.",
        attached: "battery, back with its coil",
        kinds: PHONE,
        words: &["wireless", "charg", "coil"],
        kind: PASS_FAIL,
    },
    First {
        code: "charge.both_ways",
        group: "charging",
        title: "Charges with the plug either way up",
        how: "Plug in, note, turn the plug over, note.",
        attached: "charging port",
        kinds: HANDHELD,
        words: &["charg", "port"],
        kind: PASS_FAIL,
    },
    First {
        code: "battery.voltage",
        group: "charging",
        title: "Battery voltage at rest",
        how: "At the battery's connector, device off for a minute.",
        attached: "battery",
        kinds: HANDHELD,
        words: &["battery", "charg", "no power", "dead"],
        kind: between(Unit::Volt, 3_400_000, 4_450_000),
    },
    First {
        code: "display.image",
        group: "display",
        title: "Picture without faults",
        how: "White, black, red, green, blue screen; look for lines, spots, missing points.",
        attached: "display",
        kinds: ALL,
        words: &[
            "display",
            "screen",
            "picture",
            "lines",
            "image",
            "black screen",
        ],
        kind: PASS_FAIL,
    },
    First {
        code: "display.backlight",
        group: "display",
        title: "Backlight even, low to high",
        how: "Brightness from lowest to highest in a dark place.",
        attached: "display",
        kinds: ALL,
        words: &["backlight", "dark", "dim", "display"],
        kind: PASS_FAIL,
    },
    First {
        code: "display.touch",
        group: "display",
        title: "Touch everywhere",
        how: "Draw over the whole screen, edges and corners too.",
        attached: "display, case closed",
        kinds: HANDHELD,
        words: &["touch", "ghost", "screen"],
        kind: PASS_FAIL,
    },
    First {
        code: "audio.loudspeaker",
        group: "audio",
        title: "Loudspeaker",
        how: "Play a known recording at full volume; listen for rattle.",
        attached: "loudspeaker, case closed",
        kinds: ALL,
        words: &["sound", "speaker", "audio", "loud"],
        kind: PASS_FAIL,
    },
    First {
        code: "audio.earpiece",
        group: "audio",
        title: "Earpiece",
        how: "Play or call with the device at the ear.",
        attached: "earpiece",
        kinds: PHONE,
        words: &["sound", "earpiece", "audio", "call"],
        kind: PASS_FAIL,
    },
    First {
        code: "audio.microphones",
        group: "audio",
        title: "Every microphone",
        how: "Record on each microphone in turn and listen.",
        attached: "microphones, case closed",
        kinds: ALL,
        words: &["micro", "sound", "audio", "record", "call"],
        kind: PASS_FAIL,
    },
    First {
        code: "radio.registration",
        group: "radio",
        title: "Finds its network",
        how: "Known good SIM; wait for registration.",
        attached: "SIM, antennas, shields",
        kinds: PHONE,
        words: &[
            "network",
            "signal",
            "service",
            "sim",
            "no service",
            "baseband",
        ],
        kind: PASS_FAIL,
    },
    First {
        code: "radio.call",
        group: "radio",
        title: "Call both ways",
        how: "One minute, both sides hear each other.",
        attached: "SIM, antennas, earpiece, microphones",
        kinds: PHONE,
        words: &["call", "network", "signal", "service"],
        kind: PASS_FAIL,
    },
    First {
        code: "radio.wifi",
        group: "radio",
        title: "Wi-Fi, each band",
        how: "Join a known network on each band; note it.",
        attached: "antennas, case closed",
        kinds: ALL,
        words: &["wifi", "wi-fi", "wireless network", "internet"],
        kind: PASS_FAIL,
    },
    First {
        code: "radio.wifi_level",
        group: "radio",
        title: "Wi-Fi level at two metres",
        how: "Read the level in the device's own display at two metres from the access point.",
        attached: "antennas, case closed",
        kinds: ALL,
        words: &["wifi", "wi-fi", "weak"],
        kind: TestKind::Reading {
            unit: Unit::DecibelMilliwatt,
            limits: Limits {
                low_micro: Some(-65_000_000),
                high_micro: None,
            },
        },
    },
    First {
        code: "radio.bluetooth",
        group: "radio",
        title: "Bluetooth",
        how: "Pair with a known device, play for a minute.",
        attached: "antennas",
        kinds: ALL,
        words: &["bluetooth"],
        kind: PASS_FAIL,
    },
    First {
        code: "radio.position",
        group: "radio",
        title: "Finds its position",
        how: "Outdoors or at a window; position within two minutes.",
        attached: "antennas",
        kinds: HANDHELD,
        words: &["gps", "position", "location"],
        kind: PASS_FAIL,
    },
    First {
        code: "radio.near_field",
        group: "radio",
        title: "Near field",
        how: "Read a known tag.",
        attached: "back with its antenna",
        kinds: PHONE,
        words: &["nfc", "pay"],
        kind: PASS_FAIL,
    },
    First {
        code: "sensor.proximity",
        group: "sensors",
        title: "Proximity and light",
        how: "Cover and uncover; the screen follows.",
        attached: "display, sensor flex",
        kinds: PHONE,
        words: &["proximity", "sensor", "screen stays"],
        kind: PASS_FAIL,
    },
    First {
        code: "sensor.motion",
        group: "sensors",
        title: "Motion and compass",
        how: "Turn the device; picture and compass follow.",
        attached: "",
        kinds: HANDHELD,
        words: &["sensor", "rotate", "compass", "gyro"],
        kind: PASS_FAIL,
    },
    First {
        code: "sensor.biometric",
        group: "sensors",
        title: "Finger or face",
        how: "Enrol and unlock, if the owner agreed.",
        attached: "display, original sensor",
        kinds: HANDHELD,
        words: &["face", "finger", "touch id", "biometric", "unlock"],
        kind: PASS_FAIL,
    },
    First {
        code: "camera.each",
        group: "camera",
        title: "Every camera and the lamp",
        how: "Picture with each, near and far; lamp on.",
        attached: "cameras",
        kinds: ALL,
        words: &["camera", "photo", "focus", "flash", "lamp"],
        kind: PASS_FAIL,
    },
    First {
        code: "keys.each",
        group: "keys and ports",
        title: "Every key and switch",
        how: "Press each; feel and effect.",
        attached: "case closed",
        kinds: HANDHELD,
        words: &["button", "key", "volume", "switch"],
        kind: PASS_FAIL,
    },
    First {
        code: "keys.keyboard",
        group: "keys and ports",
        title: "Keyboard and pointing device",
        how: "Each key once; pointing device in all corners.",
        attached: "keyboard, pointing device",
        kinds: LAPTOP,
        words: &["keyboard", "key", "trackpad", "touchpad"],
        kind: PASS_FAIL,
    },
    First {
        code: "port.data",
        group: "keys and ports",
        title: "Data through the port",
        how: "Copy a known file both ways, plug either way up.",
        attached: "charging port",
        kinds: ALL,
        words: &["usb", "data", "port", "computer"],
        kind: PASS_FAIL,
    },
    First {
        code: "port.each",
        group: "keys and ports",
        title: "Every port",
        how: "A known good device on each port.",
        attached: "",
        kinds: LAPTOP,
        words: &["port", "usb", "hdmi", "video out"],
        kind: PASS_FAIL,
    },
    First {
        code: "memory.storage",
        group: "memory",
        title: "Storage reads and writes",
        how: "The maker's own check, or copy and compare a known file.",
        attached: "",
        kinds: ALL,
        words: &["storage", "restore", "memory", "corrupt", "update"],
        kind: PASS_FAIL,
    },
    First {
        code: "memory.long",
        group: "memory",
        title: "Memory check",
        how: "Run the memory check once through.",
        attached: "",
        kinds: LAPTOP,
        words: &["crash", "memory", "freez", "restart"],
        kind: PASS_FAIL,
    },
    First {
        code: "thermal.fan",
        group: "thermal",
        title: "Fan and temperature under load",
        how: "Ten minutes under load; highest temperature the device reports.",
        attached: "cooler, case closed",
        kinds: LAPTOP,
        words: &["fan", "hot", "heat", "shut"],
        kind: between(Unit::Celsius, 20_000_000, 95_000_000),
    },
    First {
        code: "rail.main",
        group: "board",
        title: "Main rail to ground",
        how: "Power off, cell off; ohms from the main rail to ground.",
        attached: "cell off",
        kinds: ALL,
        words: &["short", "no power", "dead"],
        kind: TestKind::Reading {
            unit: Unit::Ohm,
            limits: Limits {
                low_micro: Some(50_000_000),
                high_micro: None,
            },
        },
    },
    First {
        code: "body.closed",
        group: "body",
        title: "Closes and stays closed",
        how: "All screws in, frame straight, no gap.",
        attached: "case closed",
        kinds: ALL,
        words: &["bent", "frame", "housing"],
        kind: PASS_FAIL,
    },
];

/// A caution for tests that put current through a board without its own battery.
const SUPPLY_CAUTION: &str =
    "Set voltage and current limit before connecting; never feed a battery that is still attached.";

/// The tests a new lab begins with.
pub(crate) fn first_tests() -> Vec<TestDefinition> {
    FIRST
        .iter()
        .map(|first| TestDefinition {
            code: TestCode(first.code.to_owned()),
            version: 1,
            group: first.group.to_owned(),
            title: first.title.to_owned(),
            how: first.how.to_owned(),
            attached: first.attached.to_owned(),
            device_kinds: first.kinds.iter().copied().collect::<BTreeSet<_>>(),
            fault_words: first.words.iter().map(|word| (*word).to_owned()).collect(),
            kind: first.kind.clone(),
            caution: if first.attached.contains("supply") {
                SUPPLY_CAUTION.to_owned()
            } else {
                String::new()
            },
            needs: domain::fact::Needs::default(),
            instrument: domain::fact::Instrument::default(),
            safety_limit: false,
            retired: false,
        })
        .collect()
}
