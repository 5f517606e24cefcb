//! The lab and its people.

use domain::fact::{LabDescription, Role};

/// A person of the lab.
#[derive(Debug, Clone, Copy)]
pub struct Colleague {
    /// The name.
    pub name: &'static str,
    /// What the person does.
    pub roles: &'static [Role],
}

/// Who founded the lab and names the prices.
pub const OWNER: &str = "Ines Valadão";
/// Who opens parcels.
pub const RECEIVER: &str = "Tomas Brandl";
/// Who repairs most.
pub const TECHNICIAN: &str = "Yuna Sato";
/// Who repairs too.
pub const SECOND_TECHNICIAN: &str = "Dragan Petrov";
/// Who witnesses.
pub const SECOND_PAIR: &str = "Amara Diallo";
/// Who packs.
pub const SHIPPER: &str = "Pieter Vermaak";

/// Everyone besides the owner.
pub const COLLEAGUES: &[Colleague] = &[
    Colleague {
        name: RECEIVER,
        roles: &[Role::Receiver],
    },
    Colleague {
        name: TECHNICIAN,
        roles: &[Role::Technician],
    },
    Colleague {
        name: SECOND_TECHNICIAN,
        roles: &[Role::Technician],
    },
    Colleague {
        name: SECOND_PAIR,
        roles: &[Role::SecondPair, Role::Technician, Role::CellExpert],
    },
    Colleague {
        name: SHIPPER,
        roles: &[Role::Shipper, Role::Receiver],
    },
];

/// The zone of the lab.
pub const ZONE: &str = "Europe/London";

/// The lab.
pub fn lab() -> LabDescription {
    LabDescription {
        name: "Heron Street Board Lab".to_owned(),
        address_lines: vec![
            "Unit 4, 12 Heron Street".to_owned(),
            "Marlow Quay MQ4 7ZZ".to_owned(),
        ],
        country: "GB".to_owned(),
        phone: "+44 1632 960412".to_owned(),
        email: "bench@heronstreet.example".to_owned(),
        zone: ZONE.to_owned(),
        currency: "GBP".to_owned(),
        warranty_days: 90,
    }
}
