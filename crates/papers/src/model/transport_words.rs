//! Fixed words of the papers for cells and parcels. The defaults are English; a caller with another language fills its own.

use serde::{Deserialize, Serialize};

wording! {
    /// Words beside marks and labels of a true size. None of them is ever printed inside one.
    MarkWording {
        marks: "Battery mark",
        words: "Words on the parcel",
        full_size: "100 × 100 mm",
        small_size: "100 × 70 mm, only for a package that is too small for 100 × 100 mm",
        letters: "Letters",
        high: "mm high",
        cut: "Cut at the corner lines, never into the mark.",
        stick: "Stick it flat on one side of the package. It must not be folded over an edge, covered or written on.",
        in_colour: "The hatching must be red: print it in colour, on white or on a contrasting ground that lasts the journey.",
        several: "A package with several UN numbers shows them all.",
        other_label: "This is not the class 9 lithium label. Where that is needed, take a printed one.",
        at_full_size: "Print at 100 %, without “fit to page”.",
        measure: "Measure this line: it must be 100 mm long. If it is shorter, the marks are too small. Don’t use them.",
        edition: "Check against the edition in force.",
        rests_on: "Rests on",
    }
}

wording! {
    /// Words of the sheet for the air waybill.
    SentenceWording {
        paper: "Sentence for the air waybill",
        copy: "Copy it letter by letter",
        where_it_goes: "Where",
        notes: "Mind",
        edition: "Check against the edition in force.",
        page: "Page",
        of: "of",
    }
}

wording! {
    /// Words of the bay label.
    BayWording {
        paper: "Cell bay",
        place: "Place",
        since: "Since",
        by: "By",
        why: "Why",
        readings: "Readings",
        due: "Due",
        surface: "°C cell",
        room: "°C room",
        voltage: "Volts",
        seen: "Seen, smelt, heard",
        initials: "By",
        edition: "Check against the edition in force.",
    }
}

wording! {
    /// Words of the handover record.
    HandoverWording {
        paper: "Handover of a cell",
        to: "Handed to",
        cell: "The cell",
        findings: "What was found",
        packing: "Packing that the rules ask for",
        trail: "Its trail",
        when: "When",
        what: "What",
        reading: "Reading",
        by: "By",
        rules: "Rules used",
        unknowns: "What we do not know",
        nothing_unknown: "Nothing that these rules ask for.",
        cautions: "Cautions",
        signatures: "Handed over and taken over",
        date: "date, time",
        edition: "Check against the edition in force.",
        page: "Page",
        of: "of",
    }
}

wording! {
    /// Words of the packing instruction.
    InstructionWording {
        paper: "Packing instruction",
        to: "To",
        alternatives: "Nearest lawful way",
        devices: "In this parcel",
        reference: "Reference",
        device: "Device",
        cell: "Cell or battery",
        condition: "Looked at",
        steps: "In this order",
        limits: "Limits checked",
        limit_of: "What",
        value: "In this parcel",
        limit: "Limit",
        result: "Result",
        source: "Clause",
        marks: "On the outside",
        no_marks: "No lithium mark and no words are asked for.",
        papers: "Papers with it",
        no_papers: "None is asked for.",
        unknowns: "What we do not know",
        nothing_unknown: "Nothing that these rules ask for. Whoever packs still looks.",
        cautions: "Cautions",
        rules: "Rules used",
        overridden: "Set aside by a trained person",
        reason: "Reason",
        signatures: "Signed",
        date: "date, time",
        edition: "Check against the edition in force.",
        page: "Page",
        of: "of",
    }
}
