//! The finishing pass: what the PDF library leaves out or makes up.
//!
//! It gives the file a document id derived from its content (the library's is random), the dates that were passed in, the
//! language, a structure tree for screen readers, the attachments, what an archive asks for, and a version number that fits.
//! It never reads a clock: the same paper gives the same bytes.

use jiff::Timestamp;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat, dictionary};
use printpdf::{FontId, ParsedFont, PdfDocument, PdfFont, PdfSaveOptions};
use sha2::{Digest, Sha256};

use crate::archive;
use crate::error::PaperError;
use crate::layout::canvas::{Canvas, Role, Tagged};
use crate::model::{AttachedRecord, PaperMeta};
use crate::picture::Album;

pub(crate) const PRODUCER: &str = "Waybench papers";

/// Puts the pages into a file.
pub(crate) fn write(
    canvas: Canvas,
    album: Album,
    meta: &PaperMeta,
    attachments: &[AttachedRecord],
) -> Result<Vec<u8>, PaperError> {
    let date = pdf_date(meta.made_at_ms)?;
    let tagged = canvas.tagged.clone();
    let mut pdf = PdfDocument::new(&meta.title);
    for face in &canvas.faces {
        let font =
            ParsedFont::from_bytes(face.bytes(), 0, &mut Vec::new()).ok_or(PaperError::Font {
                name: face.resource_name(),
            })?;
        pdf.resources
            .fonts
            .map
            .insert(FontId(face.resource_name().to_owned()), PdfFont::new(font));
    }
    album.into_document(&mut pdf);
    pdf.pages = canvas.into_pages();

    let options = PdfSaveOptions {
        image_optimization: None,
        ..PdfSaveOptions::default()
    };
    let mut document = printpdf::serialize::to_lopdf_doc(&pdf, &options, &mut Vec::new());
    "1.7".clone_into(&mut document.version);
    set_info(&mut document, meta, &date);
    let catalog = catalog_id(&document);
    set_catalog(&mut document, catalog, meta);
    set_structure(&mut document, catalog, &tagged);
    attach(&mut document, catalog, attachments, &date);
    archive::prepare(&mut document, catalog, meta)?;
    document.compress();
    set_ids(&mut document)?;
    save(&mut document)
}

/// Counts the pages of a finished file.
pub(crate) fn page_count(pdf: &[u8]) -> Result<u32, PaperError> {
    let document = Document::load_mem(pdf).map_err(|error| PaperError::Read(Box::new(error)))?;
    Ok(u32::try_from(document.get_pages().len()).unwrap_or(u32::MAX))
}

/// The size of a finished file's first page in whole millimetres; (0, 0) if it names none of its own.
pub(crate) fn page_millimetres(pdf: &[u8]) -> Result<(u32, u32), PaperError> {
    let document = Document::load_mem(pdf).map_err(|error| PaperError::Read(Box::new(error)))?;
    let corners = document
        .get_pages()
        .into_values()
        .next()
        .and_then(|page| document.get_dictionary(page).ok())
        .and_then(|page| page.get(b"MediaBox").and_then(Object::as_array).ok());
    let side = |from: usize, to: usize| {
        let at = |index: usize| corners?.get(index)?.as_float().ok();
        let points = (at(to)? - at(from)?).abs();
        let millimetres = (points / crate::paper::sheet::POINTS_PER_MM).round();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "an absolute length in millimetres; the cast saturates"
        )]
        Some(millimetres as u32)
    };
    Ok((side(0, 2).unwrap_or(0), side(1, 3).unwrap_or(0)))
}

fn save(document: &mut Document) -> Result<Vec<u8>, PaperError> {
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).map_err(PaperError::Write)?;
    Ok(bytes)
}

/// `D:20261125103000Z` (ISO 32000-1, 7.9.4).
fn pdf_date(made_at_ms: i64) -> Result<String, PaperError> {
    let instant =
        Timestamp::from_millisecond(made_at_ms).map_err(|_| PaperError::Date { made_at_ms })?;
    let date = instant.strftime("D:%Y%m%d%H%M%SZ").to_string();
    if date.starts_with("D:-") {
        Err(PaperError::Date { made_at_ms })
    } else {
        Ok(date)
    }
}

/// A text string: UTF-16 with a byte order mark (ISO 32000-1, 7.9.2.2), so that any script survives.
fn text(value: &str) -> Object {
    let mut bytes = vec![0xFE, 0xFF];
    bytes.extend(value.encode_utf16().flat_map(u16::to_be_bytes));
    Object::String(bytes, StringFormat::Hexadecimal)
}

fn ascii(value: &str) -> Object {
    Object::String(value.as_bytes().to_vec(), StringFormat::Literal)
}

fn set_info(document: &mut Document, meta: &PaperMeta, date: &str) {
    let info = dictionary! {
        "Title" => text(&meta.title),
        "Author" => text(&meta.author),
        "Creator" => ascii(PRODUCER),
        "Producer" => ascii(PRODUCER),
        "CreationDate" => ascii(date),
        "ModDate" => ascii(date),
    };
    if let Ok(id) = document.trailer.get(b"Info").and_then(Object::as_reference) {
        document.set_object(id, info);
    } else {
        let id = document.add_object(info);
        document.trailer.set("Info", id);
    }
}

fn catalog_id(document: &Document) -> ObjectId {
    document
        .trailer
        .get(b"Root")
        .and_then(Object::as_reference)
        .expect("the library always writes a catalog")
}

pub(crate) fn catalog(document: &mut Document, id: ObjectId) -> &mut Dictionary {
    document
        .get_object_mut(id)
        .and_then(Object::as_dict_mut)
        .expect("the catalog is a dictionary")
}

fn set_catalog(document: &mut Document, id: ObjectId, meta: &PaperMeta) {
    let catalog = catalog(document, id);
    catalog.set("Lang", text(&meta.language));
    catalog.set(
        "ViewerPreferences",
        dictionary! { "DisplayDocTitle" => true },
    );
    catalog.set("MarkInfo", dictionary! { "Marked" => true });
    catalog.set("PageLayout", "SinglePage");
}

/// Builds the structure tree (ISO 32000-1, 14.7): a document of headings, paragraphs, figures and tables.
fn set_structure(document: &mut Document, catalog_id: ObjectId, tagged: &[Tagged]) {
    let pages: Vec<ObjectId> = document.get_pages().into_values().collect();
    let root_id = document.new_object_id();
    let body_id = document.new_object_id();
    let mut by_page: Vec<Vec<Object>> = vec![Vec::new(); pages.len()];
    let mut kids: Vec<Object> = Vec::new();
    let mut tree = TreeBuilder {
        document,
        by_page: &mut by_page,
        pages: &pages,
    };
    let mut at = 0;
    while at < tagged.len() {
        if tagged[at].role == Role::Row {
            let end = at
                + tagged[at..]
                    .iter()
                    .take_while(|item| is_table(item.role))
                    .count();
            kids.push(tree.table(&tagged[at..end], body_id).into());
            at = end;
        } else {
            kids.push(tree.element(&tagged[at], body_id).into());
            at += 1;
        }
    }
    document.set_object(
        body_id,
        dictionary! { "Type" => "StructElem", "S" => "Document", "P" => root_id, "K" => kids },
    );
    let mut numbers = Vec::new();
    for (index, (page, elements)) in pages.iter().zip(by_page).enumerate() {
        let index = i64::try_from(index).unwrap_or(i64::MAX);
        numbers.push(Object::Integer(index));
        numbers.push(Object::Array(elements));
        if let Ok(page) = document.get_object_mut(*page).and_then(Object::as_dict_mut) {
            page.set("StructParents", index);
            page.set("Tabs", "S");
        }
    }
    let parents = document.add_object(dictionary! { "Nums" => numbers });
    let root = dictionary! { "Type" => "StructTreeRoot", "K" => body_id, "ParentTree" => parents };
    document.set_object(root_id, root);
    catalog(document, catalog_id).set("StructTreeRoot", root_id);
}

fn is_table(role: Role) -> bool {
    matches!(role, Role::Row | Role::Cell | Role::HeadCell)
}

struct TreeBuilder<'a> {
    document: &'a mut Document,
    by_page: &'a mut Vec<Vec<Object>>,
    pages: &'a [ObjectId],
}

impl TreeBuilder<'_> {
    fn element(&mut self, item: &Tagged, parent: ObjectId) -> ObjectId {
        let mut element =
            dictionary! { "Type" => "StructElem", "S" => item.role.tag(), "P" => parent };
        if let Some(page) = self.pages.get(item.page) {
            element.set("Pg", *page);
        }
        if let Some(content_id) = item.content_id {
            element.set("K", content_id);
        }
        if !item.alternative.is_empty() {
            element.set("Alt", text(&item.alternative));
        }
        if item.role == Role::HeadCell {
            element.set("A", dictionary! { "O" => "Table", "Scope" => "Column" });
        }
        let id = self.document.add_object(element);
        // Content numbers of a page are given in the order of drawing, so the position in the list is the number.
        if item.content_id.is_some()
            && let Some(elements) = self.by_page.get_mut(item.page)
        {
            elements.push(id.into());
        }
        id
    }

    fn table(&mut self, items: &[Tagged], parent: ObjectId) -> ObjectId {
        let table_id = self.document.new_object_id();
        let mut rows: Vec<Object> = Vec::new();
        for row in items.chunk_by(|_, next| next.role != Role::Row) {
            let row_id = self.document.new_object_id();
            let cells: Vec<Object> = row[1..]
                .iter()
                .map(|cell| self.element(cell, row_id).into())
                .collect();
            let element =
                dictionary! { "Type" => "StructElem", "S" => "TR", "P" => table_id, "K" => cells };
            self.document.set_object(row_id, element);
            rows.push(row_id.into());
        }
        let element =
            dictionary! { "Type" => "StructElem", "S" => "Table", "P" => parent, "K" => rows };
        self.document.set_object(table_id, element);
        table_id
    }
}

/// Puts a file for machines into the paper (ISO 32000-1, 7.11.4).
///
/// The names stand in the order of their bytes, as a name tree asks (7.9.6).
fn attach(document: &mut Document, catalog_id: ObjectId, records: &[AttachedRecord], date: &str) {
    if records.is_empty() {
        return;
    }
    let mut sorted: Vec<&AttachedRecord> = records.iter().collect();
    sorted.sort_by(|a, b| a.file_name.encode_utf16().cmp(b.file_name.encode_utf16()));
    let mut names = Vec::new();
    let mut files: Vec<Object> = Vec::new();
    for record in sorted {
        let file = attached_file(document, record, date);
        names.push(text(&record.file_name));
        names.push(file.into());
        files.push(file.into());
    }
    let catalog = catalog(document, catalog_id);
    let tree = dictionary! { "Names" => names };
    catalog.set("Names", dictionary! { "EmbeddedFiles" => tree });
    catalog.set("AF", files);
}

fn attached_file(document: &mut Document, record: &AttachedRecord, date: &str) -> ObjectId {
    let length = i64::try_from(record.bytes.len()).unwrap_or(i64::MAX);
    let params = dictionary! { "Size" => length, "ModDate" => ascii(date) };
    let dict = dictionary! {
        "Type" => "EmbeddedFile",
        "Subtype" => Object::Name(record.media_type.as_bytes().to_vec()),
        "Params" => params,
    };
    let stream = document.add_object(Stream::new(dict, record.bytes.clone()));
    document.add_object(dictionary! {
        "Type" => "Filespec",
        "F" => ascii(&record.file_name.replace(|c: char| !c.is_ascii(), "_")),
        "UF" => text(&record.file_name),
        "Desc" => text(&record.description),
        "AFRelationship" => "Data",
        "EF" => dictionary! { "F" => stream, "UF" => stream },
    })
}

/// Derives both document ids from everything else in the file.
fn set_ids(document: &mut Document) -> Result<(), PaperError> {
    document.trailer.set("ID", vec![ascii(""), ascii("")]);
    let mut copy = document.clone();
    let digest = Sha256::digest(save(&mut copy)?);
    let id = Object::String(digest[..16].to_vec(), StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![id.clone(), id]);
    Ok(())
}
