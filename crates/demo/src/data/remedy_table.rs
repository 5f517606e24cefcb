//! The table of remedies.

use domain::fact::{BoardSide, PartSource};
use domain::reading::Unit;

use super::remedies::{Gives, HeatPlan, PartPlan, ProbePlan, Remedy, StepPlan, Trial};
use crate::pictures::BoardState;

const fn fault(code: &'static str, before: Gives, after: Gives) -> Trial {
    Trial {
        code,
        shows_fault: true,
        before,
        after,
    }
}

const fn also(code: &'static str, before: Gives, after: Gives) -> Trial {
    Trial {
        code,
        shows_fault: false,
        before,
        after,
    }
}

const fn new_part(
    designator: &'static str,
    description: &'static str,
    lot: &'static str,
) -> PartPlan {
    PartPlan {
        designator,
        description,
        source: PartSource::New,
        lot,
    }
}

const NO_POWER: Gives = Gives::Not("the device does not start");

const GOOD_PICTURE: Gives = Gives::Says("good");
const EVEN_LIGHT: Gives = Gives::Says("even, low to high");
const CLEAR_SOUND: Gives = Gives::Says("clear at full volume");

use Gives::{Fail, Pass, Reads, Says};

pub(super) static MAIN_RAIL: Remedy = Remedy {
    trials: &[
        fault("power.start", Fail, Pass),
        fault("rail.main", Reads("0.42", "0.05"), Reads("18400", "200")),
        also("power.boot_current", Fail, Reads("0.86", "0.02")),
        also("charge.current", NO_POWER, Reads("1.48", "0.05")),
        also("display.image", NO_POWER, GOOD_PICTURE),
        also("radio.wifi", NO_POWER, Pass),
    ],
    diagnosis: "Main rail shorted to ground. One capacitor grows hot under 1 V from the supply; seen with the thermal camera.",
    suspect: "C282",
    probes: &[
        ProbePlan {
            point: "main rail to ground",
            value: "0.42",
            unit: Unit::Ohm,
            expected: "over 50 Ω",
        },
        ProbePlan {
            point: "main rail with 1 V injected",
            value: "1.9",
            unit: Unit::Ampere,
            expected: "under 0.1 A",
        },
    ],
    steps: &[
        StepPlan {
            text: "Shorted capacitor taken off; rail measured open again.",
            tool: "hot air, nozzle 4 mm",
            parts: &[],
            heat: Some(HeatPlan {
                temperature_c: "350",
                seconds: "25",
                side: BoardSide::Top,
                neighbours: &["U282", "L236"],
                tests: &["charge.current"],
            }),
        },
        StepPlan {
            text: "New capacitor fitted, joint inspected at 20 times.",
            tool: "soldering iron, tip 0.5 mm",
            parts: &[new_part("C282", "capacitor 10 µF 6.3 V 0402", "CL-2609")],
            heat: None,
        },
    ],
    told: "A shorted capacitor on the main supply was replaced. The device starts, charges and was tested closed.",
    lines: &[("Board repair: short on the main rail", 78), ("Parts", 4)],
    board: BoardState::Scorched,
};

pub(super) static CHARGING: Remedy = Remedy {
    trials: &[
        fault(
            "charge.current",
            Reads("0.03", "0.02"),
            Reads("1.52", "0.05"),
        ),
        also(
            "charge.state",
            Says("says it charges, but the level stands"),
            Says("charges fast, as its maker says"),
        ),
        also("port.data", Fail, Pass),
        also("power.start", Pass, Pass),
        also("audio.loudspeaker", CLEAR_SOUND, CLEAR_SOUND),
    ],
    diagnosis: "Charge controller takes no current; its input is there, its output is not. Port and cable are good.",
    suspect: "U253",
    probes: &[
        ProbePlan {
            point: "charger input",
            value: "5.08",
            unit: Unit::Volt,
            expected: "5.0 V",
        },
        ProbePlan {
            point: "charger output",
            value: "0.31",
            unit: Unit::Volt,
            expected: "3.8 V",
        },
    ],
    steps: &[
        StepPlan {
            text: "Charge controller replaced, pads cleaned and tinned first.",
            tool: "hot air, nozzle 6 mm",
            parts: &[PartPlan {
                designator: "U253",
                description: "charge controller",
                source: PartSource::Donor,
                lot: "donor board D-118",
            }],
            heat: Some(HeatPlan {
                temperature_c: "365",
                seconds: "40",
                side: BoardSide::Top,
                neighbours: &["J234", "U236"],
                tests: &["audio.microphones", "port.data"],
            }),
        },
        StepPlan {
            text: "Flux removed, board dried for ten minutes at 60 °C.",
            tool: "brush, drying cabinet",
            parts: &[],
            heat: None,
        },
    ],
    told: "The charge controller on the board was replaced. Charging current is normal again.",
    lines: &[
        ("Board repair: charging circuit", 69),
        ("Charge controller", 14),
    ],
    board: BoardState::Scorched,
};

pub(super) static DISPLAY: Remedy = Remedy {
    trials: &[
        fault("display.image", Says("dark"), GOOD_PICTURE),
        also("display.backlight", Says("none"), EVEN_LIGHT),
        also("power.start", Pass, Pass),
        also("camera.each", Gives::Not("no picture to judge by"), Pass),
    ],
    diagnosis: "Backlight line open: its filter has no continuity, and the driver beside it has no output.",
    suspect: "FL30",
    probes: &[ProbePlan {
        point: "backlight anode",
        value: "3.7",
        unit: Unit::Volt,
        expected: "18 to 22 V",
    }],
    steps: &[StepPlan {
        text: "Filter bridged out and replaced; driver replaced.",
        tool: "hot air, nozzle 4 mm",
        parts: &[
            new_part("FL30", "ferrite filter 0201", "FB-2606"),
            new_part("U384", "backlight driver", "BL-2608"),
        ],
        heat: Some(HeatPlan {
            temperature_c: "355",
            seconds: "30",
            side: BoardSide::Bottom,
            neighbours: &["J302"],
            tests: &["camera.each"],
        }),
    }],
    told: "The backlight circuit on the board was repaired; the screen itself was good.",
    lines: &[
        ("Board repair: display circuit", 82),
        ("Driver and filter", 11),
    ],
    board: BoardState::PartOff,
};

pub(super) static TOUCH: Remedy = Remedy {
    trials: &[
        fault("display.touch", Fail, Pass),
        also("display.image", GOOD_PICTURE, GOOD_PICTURE),
        also("sensor.motion", Pass, Pass),
        also("body.closed", Pass, Pass),
    ],
    diagnosis: "Touch controller has lost contact on two pads after bending; pressing on it brings touch back.",
    suspect: "U109",
    probes: &[ProbePlan {
        point: "touch interrupt line",
        value: "0.0",
        unit: Unit::Volt,
        expected: "1.8 V",
    }],
    steps: &[StepPlan {
        text: "Touch controller lifted, balls renewed and set again; a jumper of 0.02 mm wire set on a torn pad.",
        tool: "hot air, nozzle 8 mm",
        parts: &[PartPlan {
            designator: "U109",
            description: "touch controller",
            source: PartSource::Own,
            lot: "",
        }],
        heat: Some(HeatPlan {
            temperature_c: "345",
            seconds: "55",
            side: BoardSide::Top,
            neighbours: &["U75", "L186"],
            tests: &["sensor.motion"],
        }),
    }],
    told: "The touch controller had lost contact with the board and was set anew. The frame was straightened first.",
    lines: &[
        ("Board repair: touch controller", 88),
        ("Frame straightened", 15),
    ],
    board: BoardState::PartOff,
};

pub(super) static NETWORK: Remedy = Remedy {
    trials: &[
        fault("radio.registration", Fail, Pass),
        also("radio.call", Fail, Pass),
        also("radio.wifi", Pass, Pass),
        also("radio.position", Pass, Pass),
    ],
    diagnosis: "Radio amplifier draws nothing; its supply is there. Cracked joints under it, seen from the side.",
    suspect: "U236",
    probes: &[ProbePlan {
        point: "amplifier supply",
        value: "3.42",
        unit: Unit::Volt,
        expected: "3.4 V",
    }],
    steps: &[
        StepPlan {
            text: "Shield opened, amplifier replaced.",
            tool: "hot air, nozzle 6 mm, plate at 120 °C",
            parts: &[PartPlan {
                designator: "U236",
                description: "radio power amplifier",
                source: PartSource::Donor,
                lot: "donor board D-121",
            }],
            heat: Some(HeatPlan {
                temperature_c: "360",
                seconds: "45",
                side: BoardSide::Top,
                neighbours: &["U253", "L254"],
                tests: &["radio.wifi", "charge.current"],
            }),
        },
        StepPlan {
            text: "Shield closed and soldered at four corners.",
            tool: "soldering iron",
            parts: &[],
            heat: None,
        },
    ],
    told: "The radio amplifier was replaced. Registration and a call both ways were tested.",
    lines: &[("Board repair: radio", 104), ("Amplifier", 18)],
    board: BoardState::PartOff,
};

pub(super) static MICROPHONES: Remedy = Remedy {
    trials: &[
        fault("audio.microphones", Fail, Pass),
        also("audio.loudspeaker", CLEAR_SOUND, CLEAR_SOUND),
        also("camera.each", Pass, Pass),
    ],
    diagnosis: "Sound chip has a bad joint: pressing on it brings the microphones back.",
    suspect: "U75",
    probes: &[ProbePlan {
        point: "microphone bias",
        value: "0.2",
        unit: Unit::Volt,
        expected: "2.7 V",
    }],
    steps: &[StepPlan {
        text: "Sound chip lifted, pad repaired with a jumper, chip set again.",
        tool: "hot air, nozzle 8 mm",
        parts: &[PartPlan {
            designator: "U75",
            description: "sound chip",
            source: PartSource::Own,
            lot: "",
        }],
        heat: Some(HeatPlan {
            temperature_c: "350",
            seconds: "50",
            side: BoardSide::Top,
            neighbours: &["C238", "J201"],
            tests: &["audio.loudspeaker", "display.image"],
        }),
    }],
    told: "The sound chip's connection to the board was renewed. All microphones record.",
    lines: &[("Board repair: sound", 74)],
    board: BoardState::PartOff,
};

pub(super) static LIQUID: Remedy = Remedy {
    trials: &[
        fault("power.start", Fail, Pass),
        also("charge.current", NO_POWER, Reads("1.31", "0.05")),
        also("display.image", NO_POWER, GOOD_PICTURE),
        also("audio.loudspeaker", NO_POWER, CLEAR_SOUND),
        also("camera.each", NO_POWER, Pass),
    ],
    diagnosis: "Corrosion around the power chip and two connectors; one line open.",
    suspect: "U282",
    probes: &[ProbePlan {
        point: "1.8 V rail",
        value: "0.6",
        unit: Unit::Volt,
        expected: "1.8 V",
    }],
    steps: &[StepPlan {
        text: "Board cleaned twice in an ultrasonic bath, dried, corroded parts replaced.",
        tool: "ultrasonic bath, hot air",
        parts: &[
            new_part("C294", "capacitor 1 µF 0201", "CL-2605"),
            new_part("R166", "resistor 0 Ω 0201", "RS-2603"),
        ],
        heat: Some(HeatPlan {
            temperature_c: "340",
            seconds: "20",
            side: BoardSide::Top,
            neighbours: &["U282"],
            tests: &["charge.current"],
        }),
    }],
    told: "Liquid damage cleaned and the power circuit repaired. Devices that met liquid may fail later; save the data.",
    lines: &[("Liquid treatment and board repair", 92), ("Parts", 6)],
    board: BoardState::Corroded,
};

pub(super) static WIFI: Remedy = Remedy {
    trials: &[
        fault("radio.wifi_level", Reads("-84", "2"), Reads("-51", "2")),
        also("radio.wifi", Pass, Pass),
        also("radio.bluetooth", Pass, Pass),
    ],
    diagnosis: "Antenna switch on the board has a cracked joint.",
    suspect: "U322",
    probes: &[ProbePlan {
        point: "switch control",
        value: "1.81",
        unit: Unit::Volt,
        expected: "1.8 V",
    }],
    steps: &[StepPlan {
        text: "Antenna switch replaced.",
        tool: "hot air, nozzle 4 mm",
        parts: &[new_part("U322", "antenna switch", "AS-2607")],
        heat: Some(HeatPlan {
            temperature_c: "350",
            seconds: "22",
            side: BoardSide::Bottom,
            neighbours: &["L323"],
            tests: &["radio.bluetooth"],
        }),
    }],
    told: "The antenna switch was replaced; the level is normal again.",
    lines: &[("Board repair: Wi-Fi", 66), ("Antenna switch", 5)],
    board: BoardState::PartOff,
};

pub(super) static BOOT_LOOP: Remedy = Remedy {
    trials: &[
        fault("power.start_time", Fail, Reads("31", "1")),
        fault("memory.storage", Fail, Pass),
        also("display.image", GOOD_PICTURE, GOOD_PICTURE),
        also(
            "charge.current",
            Reads("1.20", "0.05"),
            Reads("1.22", "0.05"),
        ),
    ],
    diagnosis: "Storage chip answers only warm: broken joints under it.",
    suspect: "U292",
    probes: &[ProbePlan {
        point: "storage supply",
        value: "2.98",
        unit: Unit::Volt,
        expected: "3.0 V",
    }],
    steps: &[StepPlan {
        text: "Storage chip lifted, balls renewed, set again; content read out and compared.",
        tool: "hot air, nozzle 12 mm, plate at 130 °C",
        parts: &[PartPlan {
            designator: "U292",
            description: "storage chip",
            source: PartSource::Own,
            lot: "",
        }],
        heat: Some(HeatPlan {
            temperature_c: "345",
            seconds: "70",
            side: BoardSide::Top,
            neighbours: &["U236", "L292"],
            tests: &["charge.current"],
        }),
    }],
    told: "The storage chip's joints were renewed. Nothing was erased.",
    lines: &[
        ("Board repair: storage", 96),
        ("Content read out and compared", 20),
    ],
    board: BoardState::PartOff,
};

pub(super) static LAPTOP: Remedy = Remedy {
    trials: &[
        fault("power.start", Fail, Pass),
        fault("thermal.fan", Fail, Reads("78", "2")),
        also("keys.keyboard", NO_POWER, Pass),
        also("port.each", NO_POWER, Pass),
        also("memory.long", NO_POWER, Pass),
    ],
    diagnosis: "One phase of the processor's supply is dead: its transistor is shorted, the driver gone with it.",
    suspect: "Q31",
    probes: &[
        ProbePlan {
            point: "19 V rail to ground",
            value: "0.8",
            unit: Unit::Ohm,
            expected: "over 100 kΩ",
        },
        ProbePlan {
            point: "phase 2 driver supply",
            value: "0.1",
            unit: Unit::Volt,
            expected: "5.0 V",
        },
    ],
    steps: &[
        StepPlan {
            text: "Transistor pair and driver of phase 2 replaced.",
            tool: "hot air, plate at 140 °C",
            parts: &[
                new_part("Q31", "power transistor pair", "PT-2604"),
                new_part("U31", "phase driver", "PD-2601"),
            ],
            heat: Some(HeatPlan {
                temperature_c: "380",
                seconds: "60",
                side: BoardSide::Top,
                neighbours: &["L33", "C340"],
                tests: &["port.each"],
            }),
        },
        StepPlan {
            text: "Cooler cleaned, paste renewed.",
            tool: "brush, isopropanol",
            parts: &[],
            heat: None,
        },
    ],
    told: "The processor's supply was repaired. Ten minutes under load stay below the limit.",
    lines: &[
        ("Board repair: processor supply", 138),
        ("Transistors and driver", 22),
        ("Cooler serviced", 12),
    ],
    board: BoardState::Scorched,
};

pub(super) static KEYS: Remedy = Remedy {
    trials: &[
        fault("keys.each", Fail, Pass),
        also("keys.sticks", Fail, Pass),
        also("display.touch", Pass, Pass),
        also(
            "charge.current",
            Reads("1.05", "0.05"),
            Reads("1.06", "0.05"),
        ),
    ],
    diagnosis: "Stick sensor worn; the line of the shoulder key is open at its connector.",
    suspect: "J303",
    probes: &[ProbePlan {
        point: "stick, x axis at rest",
        value: "1.12",
        unit: Unit::Volt,
        expected: "0.9 V",
    }],
    steps: &[StepPlan {
        text: "Stick module replaced, connector of the shoulder key soldered again.",
        tool: "soldering iron, desoldering pump",
        parts: &[new_part("RV2", "stick module", "SM-2610")],
        heat: Some(HeatPlan {
            temperature_c: "370",
            seconds: "35",
            side: BoardSide::Top,
            neighbours: &["J303"],
            tests: &["charge.current"],
        }),
    }],
    told: "The stick was replaced and the key's connector repaired.",
    lines: &[("Repair: stick and key", 45), ("Stick module", 9)],
    board: BoardState::PartOff,
};
