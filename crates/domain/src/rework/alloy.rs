//! Solder alloys: where they melt, and which must not meet.

/// One alloy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Alloy {
    /// Its name: the elements with their percentages, or the trade's short name.
    pub name: &'static str,
    /// Below this it is solid, in degrees Celsius.
    pub solidus_c: u16,
    /// Above this it is liquid, in degrees Celsius.
    pub liquidus_c: u16,
    /// Whether lead is in it.
    pub has_lead: bool,
    /// Whether bismuth is in it.
    pub has_bismuth: bool,
    /// Where the temperatures come from.
    pub source: &'static str,
}

const LISTED: &str = "Indium Corporation, list of solder alloys";
const MEMORY: &str = "from memory, no source read";

const fn alloy(
    name: &'static str,
    solidus_c: u16,
    liquidus_c: u16,
    has_lead: bool,
    has_bismuth: bool,
    source: &'static str,
) -> Alloy {
    Alloy {
        name,
        solidus_c,
        liquidus_c,
        has_lead,
        has_bismuth,
        source,
    }
}

/// The alloys that a bench meets, lead-free ones first.
pub const ALLOYS: &[Alloy] = &[
    alloy("SAC305", 217, 220, false, false, LISTED),
    alloy("Sn96.5Ag3.5", 221, 221, false, false, LISTED),
    alloy("Sn99.3Cu0.7", 227, 227, false, false, MEMORY),
    alloy("Sn95Sb5", 235, 240, false, false, LISTED),
    alloy("Bi58Sn42", 138, 138, false, true, LISTED),
    alloy("Bi57Sn42Ag1", 139, 140, false, true, LISTED),
    alloy("In52Sn48", 118, 118, false, false, LISTED),
    alloy("In97Ag3", 143, 143, false, false, LISTED),
    alloy("Sn63Pb37", 183, 183, true, false, LISTED),
    alloy("Sn62Pb36Ag2", 179, 179, true, false, LISTED),
    alloy("Sn60Pb40", 183, 190, true, false, MEMORY),
];

/// The alloy of this name, however it is spaced or capitalised, and whichever of its elements is written first.
pub fn alloy_named(name: &str) -> Option<&'static Alloy> {
    let wanted = elements(name);
    ALLOYS.iter().find(|alloy| elements(alloy.name) == wanted)
}

/// The name's elements, each with its share, in one order: “Sn42 Bi58” and “Bi58Sn42” name one alloy.
fn elements(name: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut after_digit = true;
    for letter in name.chars() {
        if !letter.is_alphanumeric() && letter != '.' {
            continue;
        }
        if letter.is_alphabetic() && after_digit {
            found.push(String::new());
        }
        after_digit = !letter.is_alphabetic();
        match found.last_mut() {
            Some(element) => element.extend(letter.to_lowercase()),
            None => found.push(letter.to_string()),
        }
    }
    found.sort();
    found
}

/// Why the alloys used on one board must not have met; `None` when nothing speaks against it.
///
/// Bismuth and lead form a phase that melts near 96 °C (Bi46Sn34Pb20 is listed at 96 °C): such a joint opens in use.
pub fn mixing_warning(used: &[&Alloy]) -> Option<String> {
    let bismuth = used.iter().find(|alloy| alloy.has_bismuth)?;
    let lead = used.iter().find(|alloy| alloy.has_lead)?;
    Some(format!(
        "{} holds bismuth and {} holds lead: where they mix, a phase melts near 96 °C. Take all of one off the joint before the other \
         goes on.",
        bismuth.name, lead.name
    ))
}
