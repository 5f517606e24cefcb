//! Photos in pairs: an after beside the before it names, else evidence beside evidence in order. A photo that proves nothing
//! by comparison (the parcel, the case, the cell, a step of work) needs no partner and goes into a grid.

use domain::fact::{PhotoAdded, PhotoPlace};
use papers::model::{Photo, PhotoPair, Picture};

use super::report::Told;
use super::words::{Words, joined};
use crate::desk::Desk;
use crate::error::DeskError;

/// The pairs, and the pictures that are not on this computer, in words.
pub(super) struct Gallery {
    pub(super) pairs: Vec<PhotoPair>,
    pub(super) more: Vec<Photo>,
    pub(super) missing: Vec<String>,
}

type Marked = domain::job::Marked<PhotoAdded>;

/// Loads the pictures of a report. One that isn't here is named, and is no reason to fail.
pub(super) fn gallery(desk: &Desk, told: &Told<'_>) -> Result<Gallery, DeskError> {
    let of_parcel = told.parcel.map_or(&[][..], |parcel| &parcel.photos);
    let photos: Vec<&Marked> = of_parcel.iter().chain(&told.job.photos).collect();
    let mut gallery = Gallery {
        pairs: Vec::new(),
        more: Vec::new(),
        missing: Vec::new(),
    };
    for (before, after) in pair(&photos) {
        if let (Some(alone), None) | (None, Some(alone)) = (before, after)
            && !is_evidence(alone.value.place)
        {
            let photo = gallery.load(desk, told.words, Some(alone))?;
            gallery.more.extend(photo);
            continue;
        }
        let pair = PhotoPair {
            before: gallery.load(desk, told.words, before)?,
            after: gallery.load(desk, told.words, after)?,
        };
        if pair.before.is_some() || pair.after.is_some() {
            gallery.pairs.push(pair);
        }
    }
    Ok(gallery)
}

impl Gallery {
    fn load(
        &mut self,
        desk: &Desk,
        words: &Words,
        photo: Option<&Marked>,
    ) -> Result<Option<Photo>, DeskError> {
        let Some(marked) = photo else { return Ok(None) };
        let photo = &marked.value;
        let caption = joined(
            [
                place_words(photo.place),
                photo.caption.as_str(),
                words.time(marked.mark.at_ms).as_str(),
            ],
            ", ",
        );
        // Only what is here: a paper must not wait for the network, nor come out otherwise with it.
        if !desk.files.whole().contains(&photo.hash)? {
            self.missing
                .push(format!("{caption} ({}…)", &photo.hash.to_string()[..12]));
            return Ok(None);
        }
        let picture = Picture {
            jpeg: desk.files.whole().get(&photo.hash)?,
            width_px: photo.width_px,
            height_px: photo.height_px,
        };
        Ok(Some(Photo { picture, caption }))
    }
}

/// Evidence of the fault or of the repair: where its partner is missing, the report says so.
const fn is_evidence(place: PhotoPlace) -> bool {
    matches!(place, PhotoPlace::Before | PhotoPlace::After)
}

const fn is_after(place: PhotoPlace) -> bool {
    matches!(
        place,
        PhotoPlace::Work | PhotoPlace::After | PhotoPlace::Packing
    )
}

/// Pairs photos: befores in their order, each with the after that names it; then the afters that name none.
fn pair<'a>(photos: &[&'a Marked]) -> Vec<(Option<&'a Marked>, Option<&'a Marked>)> {
    let befores: Vec<&Marked> = photos
        .iter()
        .copied()
        .filter(|photo| !is_after(photo.value.place))
        .collect();
    let mut afters: Vec<&Marked> = photos
        .iter()
        .copied()
        .filter(|photo| is_after(photo.value.place))
        .collect();
    let mut pairs: Vec<(Option<&Marked>, Option<&Marked>)> = Vec::new();
    for before in befores {
        let named = afters
            .iter()
            .position(|after| after.value.beside == Some(before.value.hash));
        let after = named.map(|index| afters.remove(index));
        pairs.push((Some(before), after));
    }
    // Evidence of the fault and evidence of the repair belong together even when nobody said which is which.
    for (before, after) in &mut pairs {
        let is_evidence = before.is_some_and(|before| before.value.place == PhotoPlace::Before);
        let free = afters.iter().position(|after| {
            after.value.place == PhotoPlace::After && after.value.beside.is_none()
        });
        if let (true, None, Some(index)) = (is_evidence, &after, free) {
            *after = Some(afters.remove(index));
        }
    }
    pairs.extend(afters.into_iter().map(|after| (None, Some(after))));
    pairs
}

const fn place_words(place: PhotoPlace) -> &'static str {
    match place {
        PhotoPlace::Parcel => "Parcel",
        PhotoPlace::Condition => "Condition",
        PhotoPlace::Cell => "Cell",
        PhotoPlace::Before => "Before",
        PhotoPlace::Diagnosis => "Diagnosis",
        PhotoPlace::Work => "Work",
        PhotoPlace::After => "After",
        PhotoPlace::Packing => "Packing",
    }
}
