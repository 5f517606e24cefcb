//! The question a transport verdict answers: one package, what lies in it, and how it is to go.
//!
//! Names and values are those of the published interface. A field that is left out is not known, and what is not known is
//! never taken for good. Numbers are kept as they came, even when they make no sense, so that they can be refused in words.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use serde::{Deserialize, Deserializer, Serialize};

use super::findings::FindingCode;
use super::number::{Millionths, whole};

macro_rules! values {
    ($(#[$doc:meta])* $name:ident as $ts:literal { $($(#[$variant_doc:meta])* $variant:ident = $code:literal, $words:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = $ts))]
        pub enum $name {
            $($(#[$variant_doc])* #[serde(rename = $code)] $variant),+
        }

        impl $name {
            /// Every value, in the order of a form.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The value as it is written in the interface.
            pub const fn code(self) -> &'static str {
                match self { $(Self::$variant => $code),+ }
            }

            /// The words on screens and papers.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$variant => $words),+ }
            }
        }
    };
}

values! {
    /// Whose law the parcel starts under.
    Regime as "TransportRegime" {
        /// United States, 49 CFR.
        UsHmr = "US_HMR", "United States (49 CFR)";
        /// European road, ADR.
        Adr = "ADR", "European road (ADR)";
    }
}
values! {
    /// How the parcel is to go.
    Mode as "TransportMode" {
        /// By road or rail, inside the regime.
        Ground = "GROUND", "by road";
        /// By air, on an aircraft that carries passengers.
        AirPax = "AIR_PAX", "by air, passenger aircraft";
        /// By air, on a cargo aircraft.
        AirCargo = "AIR_CARGO", "by air, cargo aircraft";
        /// By post inside the country.
        PostDomestic = "POST_DOMESTIC", "by post, inside the country";
        /// By post to another country.
        PostIntl = "POST_INTL", "by post, abroad";
    }
}
values! {
    /// Who carries it.
    Carrier as "TransportCarrier" {
        /// Nobody is chosen yet.
        None = "none", "no carrier chosen";
        /// United States Postal Service.
        Usps = "USPS", "USPS";
        /// UPS.
        Ups = "UPS", "UPS";
        /// FedEx.
        Fedex = "FEDEX", "FedEx";
        /// Royal Mail.
        RoyalMail = "ROYAL_MAIL", "Royal Mail";
        /// A carrier whose terms this program does not hold.
        Other = "other", "another carrier";
    }
}
values! {
    /// The chemistry.
    Chem as "TransportChem" {
        /// Rechargeable lithium ion, lithium polymer included.
        LiIon = "LI_ION", "lithium ion";
        /// Lithium metal, not rechargeable.
        LiMetal = "LI_METAL", "lithium metal";
        /// Sodium ion.
        NaIon = "NA_ION", "sodium ion";
        /// Lithium metal and lithium ion in one battery.
        Hybrid = "HYBRID", "lithium metal and lithium ion in one battery";
        /// Nobody has said or seen.
        Unknown = "UNKNOWN", "not known";
    }
}
values! {
    /// How the cells and the device lie to each other.
    Config as "TransportConfig" {
        /// In the device.
        Contained = "CONTAINED", "in the device";
        /// In the same package as the device that they power, not in it.
        PackedWith = "PACKED_WITH", "beside the device";
        /// Without a device.
        Alone = "ALONE", "without a device";
    }
}
values! {
    /// What the device is to its sender.
    DeviceStatus as "TransportDeviceStatus" {
        /// New, in its maker's unopened pack.
        NewSealed = "NEW_SEALED", "new, in its maker's unopened pack";
        /// Certified as new or refurbished by its maker.
        MfrCertified = "MFR_CERTIFIED", "certified by its maker";
        /// Used: everything that comes for repair or goes back from it.
        Used = "USED", "used";
    }
}
values! {
    /// Why it travels.
    Purpose as "TransportPurpose" {
        /// Back to its owner.
        Return = "RETURN", "back to its owner";
        /// To a repair.
        RepairIn = "REPAIR_IN", "to a repair";
        /// To a recycler.
        Recycle = "RECYCLE", "to a recycler";
    }
}

impl Mode {
    /// By air, whatever the aircraft.
    pub const fn is_air(self) -> bool {
        matches!(self, Self::AirPax | Self::AirCargo)
    }

    /// By post.
    pub const fn is_post(self) -> bool {
        matches!(self, Self::PostDomestic | Self::PostIntl)
    }
}

/// Cells or batteries of one kind in one package.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(
    feature = "ts-rs",
    derive(ts_rs::TS),
    ts(rename = "TransportContents", optional_fields)
)]
pub struct Contents {
    /// The chemistry.
    pub chem: Chem,
    /// 1 is a cell; 2 or more is a battery.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub cells_per_unit: Option<i64>,
    /// A button cell.
    pub button: bool,
    /// The watt-hours printed on one unit.
    pub wh_label: Option<Millionths>,
    /// The nominal voltage of one unit, in millivolts.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub mv: Option<i64>,
    /// The rated capacity of one unit, in milliampere-hours.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub mah: Option<i64>,
    /// A second capacity, where two are printed. The larger counts.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub mah_second: Option<i64>,
    /// The grams of lithium in one unit.
    pub li_grams: Option<Millionths>,
    /// How they lie to their device.
    pub config: Option<Config>,
    /// Units in one device, or beside it to power it. Without a device: the loose units in one package.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub units_in_devices: Option<i64>,
    /// Sets of units in one package beyond those that power the devices.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub spare_sets: Option<i64>,
    /// Devices in one package. 0 beside `PACKED_WITH`: the device stands in another line of the contents.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub devices_per_package: Option<i64>,
    /// Grams of cells and batteries in one package, without device and packing.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub battery_net_g_per_package: Option<i64>,
    /// What was found.
    pub findings: BTreeSet<FindingCode>,
    /// Who looked, when and how.
    pub inspected: Option<String>,
    /// The charge in percent of the rated capacity.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub soc_rated_pct: Option<i64>,
    /// The charge in percent that the device shows.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub soc_indicated_pct: Option<i64>,
    /// What the device is to its sender.
    pub device_status: Option<DeviceStatus>,
    /// Whether the battery is the one the device was made with, or the maker's own part.
    pub battery_original: Option<bool>,
    /// Whether the device is off and can't switch itself on.
    pub powered_off: Option<bool>,
    /// Names of fields that are none, so that a slip of the pen is not taken for silence.
    #[serde(flatten, skip_serializing)]
    #[cfg_attr(feature = "ts-rs", ts(skip))]
    pub unread: BTreeMap<String, serde_json::Value>,
}

impl Default for Contents {
    fn default() -> Self {
        Self {
            chem: Chem::Unknown,
            cells_per_unit: None,
            button: false,
            wh_label: None,
            mv: None,
            mah: None,
            mah_second: None,
            li_grams: None,
            config: None,
            units_in_devices: None,
            spare_sets: None,
            devices_per_package: None,
            battery_net_g_per_package: None,
            findings: BTreeSet::new(),
            inspected: None,
            soc_rated_pct: None,
            soc_indicated_pct: None,
            device_status: None,
            battery_original: None,
            powered_off: None,
            unread: BTreeMap::new(),
        }
    }
}

/// Several packages held together on their way, such as in one wrapping.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(optional_fields))]
pub struct Overpack {
    /// Whether every mark of every package can be seen from outside.
    #[serde(default)]
    pub marks_visible: Option<bool>,
}

/// A battery mark that is already printed or in stock, as measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[derive(Default)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(optional_fields))]
pub struct PrintedMark {
    /// Width in millimetres.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub width_mm: Option<i64>,
    /// Height in millimetres.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub height_mm: Option<i64>,
    /// Width of the hatched edge in millimetres.
    #[serde(deserialize_with = "whole")]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub hatching_mm: Option<i64>,
    /// Whether it shows a telephone number.
    pub phone_number: Option<bool>,
    /// Whether anything was added inside the hatched edge, beside symbol and UN number.
    pub added_inside: Option<bool>,
    /// Whether it is folded over an edge of the package.
    pub folded_over_edge: Option<bool>,
    /// Whether the package is too small for the full size.
    pub package_too_small: Option<bool>,
}

/// The question: one package of a consignment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(
    feature = "ts-rs",
    derive(ts_rs::TS),
    ts(rename = "TransportParcel", optional_fields)
)]
pub struct Parcel {
    /// Whose law it starts under.
    pub regime: Regime,
    /// How it is to go.
    pub mode: Mode,
    /// Who carries it.
    pub carrier: Carrier,
    /// The day it leaves; picks the rules.
    #[cfg_attr(feature = "ts-rs", ts(type = "string"))]
    pub ship_date: Date,
    /// Why it travels.
    pub purpose: Purpose,
    /// Packages from one shipper to one consignee at one address, at one time.
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub packages_per_consignment: Option<i64>,
    /// Grams of the whole package.
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub gross_g_per_package: Option<i64>,
    /// What lies in one package.
    pub contents: Vec<Contents>,
    /// ISO 3166-1 alpha-2 code of the country it goes to.
    pub destination_country: Option<String>,
    /// Whether it goes to a place outside the 48 adjoining states of the United States.
    pub outside_us_lower_48: Option<bool>,
    /// Packages held together on their way.
    pub overpack: Option<Overpack>,
    /// The mark that is to be used, if it is already printed.
    pub printed_mark: Option<PrintedMark>,
    /// True when single values and a list of contents were both given.
    #[serde(skip)]
    #[cfg_attr(feature = "ts-rs", ts(skip))]
    pub contents_given_twice: bool,
}

/// The question as it is written: either a list of contents, or the values of a single kind side by side with the rest.
#[derive(Deserialize)]
struct ParcelForm {
    regime: Regime,
    mode: Mode,
    #[serde(default)]
    carrier: Option<Carrier>,
    ship_date: Date,
    #[serde(default)]
    purpose: Option<Purpose>,
    #[serde(default, deserialize_with = "whole")]
    packages_per_consignment: Option<i64>,
    #[serde(default, deserialize_with = "whole")]
    gross_g_per_package: Option<i64>,
    #[serde(default)]
    contents: Option<Vec<Contents>>,
    #[serde(default)]
    destination_country: Option<String>,
    #[serde(default)]
    outside_us_lower_48: Option<bool>,
    #[serde(default)]
    overpack: Option<Overpack>,
    #[serde(default)]
    printed_mark: Option<PrintedMark>,
    #[serde(flatten)]
    single: Contents,
}

impl<'de> Deserialize<'de> for Parcel {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let form = ParcelForm::deserialize(deserializer)?;
        let has_single = form.single != Contents::default();
        let contents_given_twice = has_single && form.contents.is_some();
        let mut contents = form.contents.unwrap_or_default();
        if has_single {
            contents.push(form.single);
        }
        Ok(Self {
            regime: form.regime,
            mode: form.mode,
            carrier: form.carrier.unwrap_or(Carrier::None),
            ship_date: form.ship_date,
            purpose: form.purpose.unwrap_or(Purpose::Return),
            packages_per_consignment: form.packages_per_consignment,
            gross_g_per_package: form.gross_g_per_package,
            contents,
            destination_country: form.destination_country,
            outside_us_lower_48: form.outside_us_lower_48,
            overpack: form.overpack,
            printed_mark: form.printed_mark,
            contents_given_twice,
        })
    }
}
