//! What an archive asks of a paper: its description in XMP, and which red, green and blue its colours are.
//!
//! The papers aim at PDF/A-3b (ISO 19005-3): fonts and pictures are inside, files for machines are named as data, nothing
//! depends on anything outside. Must never claim more than the checks in `tests/src/outside/papers/archive.rs` bear out.

use lopdf::{Document, Object, ObjectId, Stream, dictionary};
use moxcms::{ColorDateTime, ColorProfile};
use xmp_writer::{DateTime, LangId, Timezone, XmpWriter};

use crate::error::PaperError;
use crate::finish;
use crate::model::PaperMeta;

const SRGB: &str = "sRGB IEC61966-2.1";

/// Puts the description and the meaning of the colours into the catalog.
pub(crate) fn prepare(
    document: &mut Document,
    catalog_id: ObjectId,
    meta: &PaperMeta,
) -> Result<(), PaperError> {
    // Programs that know nothing of PDF read this as it stands, so it is never compressed.
    let metadata = Stream::new(
        dictionary! { "Type" => "Metadata", "Subtype" => "XML" },
        description(meta)?.into_bytes(),
    )
    .with_compression(false);
    let metadata = document.add_object(metadata);
    let mut srgb = ColorProfile::new_srgb();
    // A tag of version 4.4, which ISO 19005-3 doesn't know.
    srgb.cicp = None;
    // The library dates it now; the same paper gives the same bytes.
    srgb.creation_date_time = ColorDateTime {
        year: 2000,
        month: 1,
        day_of_the_month: 1,
        hours: 0,
        minutes: 0,
        seconds: 0,
    };
    let mut profile = srgb
        .encode()
        .map_err(|error| PaperError::Colours(error.to_string()))?;
    // The library writes 4.4 into the header whatever is inside (ICC.1, 7.2.4); nothing here is newer than 4.3.
    if let Some(version) = profile.get_mut(8..10) {
        version.copy_from_slice(&[4, 0x30]);
    }
    let profile = document.add_object(Stream::new(
        dictionary! { "N" => 3, "Alternate" => "DeviceRGB" },
        profile,
    ));
    let intent = document.add_object(dictionary! {
        "Type" => "OutputIntent",
        "S" => "GTS_PDFA1",
        "OutputConditionIdentifier" => Object::string_literal(SRGB),
        "Info" => Object::string_literal(SRGB),
        "DestOutputProfile" => profile,
    });
    print_annotations(document);
    let catalog = finish::catalog(document, catalog_id);
    catalog.set("Metadata", metadata);
    catalog.set("OutputIntents", vec![Object::Reference(intent)]);
    Ok(())
}

/// ISO 19005-3, 6.3.2: what a screen shows, paper shows too.
fn print_annotations(document: &mut Document) {
    const PRINT: i64 = 4;
    let pages = document
        .objects
        .values_mut()
        .filter_map(|object| object.as_dict_mut().ok());
    for page in pages {
        let Ok(annotations) = page.get_mut(b"Annots").and_then(Object::as_array_mut) else {
            continue;
        };
        for annotation in annotations {
            if let Ok(annotation) = annotation.as_dict_mut() {
                annotation.set("F", PRINT);
            }
        }
    }
}

/// The same facts as in the document information, as ISO 19005 asks.
fn description(meta: &PaperMeta) -> Result<String, PaperError> {
    let date = date(meta.made_at_ms)?;
    let mut xmp = XmpWriter::new();
    xmp.title([(None, meta.title.as_str())]);
    xmp.creator([meta.author.as_str()]);
    xmp.language([LangId(meta.language.as_str())]);
    xmp.creator_tool(finish::PRODUCER);
    xmp.producer(finish::PRODUCER);
    xmp.create_date(date);
    xmp.modify_date(date);
    xmp.pdfa_part(3);
    xmp.pdfa_conformance("B");
    Ok(xmp.finish(None))
}

fn date(made_at_ms: i64) -> Result<DateTime, PaperError> {
    let wrong = || PaperError::Date { made_at_ms };
    let instant = jiff::Timestamp::from_millisecond(made_at_ms).map_err(|_| wrong())?;
    let zoned = jiff::tz::Offset::UTC.to_datetime(instant);
    let small = |number: i8| u8::try_from(number).map_err(|_| wrong());
    Ok(DateTime {
        year: u16::try_from(zoned.year()).map_err(|_| wrong())?,
        month: Some(small(zoned.month())?),
        day: Some(small(zoned.day())?),
        hour: Some(small(zoned.hour())?),
        minute: Some(small(zoned.minute())?),
        second: Some(small(zoned.second())?),
        timezone: Some(Timezone::Utc),
    })
}
