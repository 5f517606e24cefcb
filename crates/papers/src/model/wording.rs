//! Headings and fixed words of the papers. The defaults are English; a caller with another language fills its own.

use serde::{Deserialize, Serialize};

/// Declares a struct of words with its English default.
macro_rules! wording {
    ($(#[$doc:meta])* $name:ident { $($(#[$field_doc:meta])* $field:ident: $english:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq)]
        #[serde(default)]
        pub struct $name {
            $($(#[$field_doc])* #[doc = concat!("`", $english, "`.")] pub $field: String,)+
        }

        impl Default for $name {
            fn default() -> Self {
                Self { $($field: $english.to_owned(),)+ }
            }
        }
    };
}

wording! {
    /// Words of the return report.
    ReportWording {
        paper: "Return report",
        shop: "Shop",
        fault: "Declared fault",
        accessories: "Accessories",
        as_it_came: "As it came",
        as_it_goes: "As it goes",
        parcel: "Parcel",
        condition: "Condition",
        front: "front",
        back: "back",
        cell_check: "Cell check",
        before_power: "before any power was applied",
        work: "Work",
        heat: "Heat",
        parts: "Parts",
        tests: "Tests",
        before: "before",
        after: "after",
        photos: "Photos",
        no_photo: "no photo",
        traces: "Current over time",
        more_photos: "More photos",
        outcome: "Outcome",
        not_tested: "Not tested, and why",
        warranty: "Warranty",
        price: "Price",
        sum: "Sum",
        overrides: "Rules set aside, with the reason",
        cautions: "Cautions",
        record: "This record",
        terms: "Terms",
        also_recorded: "also recorded",
        not_settled: "not settled",
        continued: "continued",
        page: "Page",
        of: "of",
    }
}

wording! {
    /// Words of the inward slip.
    SlipWording {
        paper: "Inward slip",
        instruction: "Put this sheet in the box, on top.",
        parcel: "Parcel",
        from: "From",
        to: "To",
        devices: "In this box",
        device: "Device",
        fault: "Fault in your words",
        accessories: "Accessories",
        packing: "How to pack",
        cautions: "Cautions",
        page: "Page",
        of: "of",
    }
}

wording! {
    /// Words of the packing slip.
    PackingWording {
        paper: "Packing slip",
        to: "To",
        devices: "In this box",
        device: "Device",
        job: "Job",
        outcome: "Outcome",
        accessories: "Accessories",
        marks: "Marks and papers",
        cautions: "Cautions",
        notes: "Notes",
        terms: "Terms",
        page: "Page",
        of: "of",
    }
}
