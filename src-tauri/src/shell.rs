//! The window itself: its screens, its few commands, the pictures and the events.

use std::sync::Arc;

use anyhow::Context as _;
use desk::EdgeError;
use serde_json::Value;
use tauri::async_runtime::spawn_blocking;
use tauri::ipc::{InvokeBody, Request};
use tauri::webview::{PageLoadEvent, PermissionKind, PermissionResponse, WebviewWindowBuilder};
use tauri::{App, AppHandle, Emitter as _, Manager as _, RunEvent, State, Url};

use crate::lab::{self, Lab};
use crate::photo_protocol::{self, PhotoAddress};
use crate::start_options::StartOptions;

/// What whoever started this program waits for on its output: the screens are loaded.
const OPEN_LINE: &str = "window open";

/// The header that says where a picture goes.
const PHOTO_TARGET: &str = "x-photo-target";

/// Opens the lab and its window, and returns when the window was closed.
///
/// A lab that cannot be opened still gets a window: there every call answers with the reason, which a person at a
/// bench can read and a terminal that nobody looks at cannot show.
pub(crate) fn run(options: &StartOptions) -> anyhow::Result<()> {
    let options = options.clone();
    tauri::Builder::default()
        .invoke_handler(tauri::generate_handler![
            call,
            put_photo,
            check_report,
            open_paper,
            open_file
        ])
        .register_asynchronous_uri_scheme_protocol("photo", |context, request, responder| {
            let lab = Arc::clone(context.app_handle().state::<Arc<Lab>>().inner());
            let address = PhotoAddress::of(&request);
            spawn_blocking(move || responder.respond(photo(&lab, address)));
        })
        .on_permission_request(|_, kind| match kind {
            PermissionKind::Camera => PermissionResponse::Allow,
            _ => PermissionResponse::Deny,
        })
        .on_page_load(|_, page| {
            if page.event() == PageLoadEvent::Finished {
                println!("{OPEN_LINE}");
            }
        })
        .setup(move |app| Ok(set_up(app, &options)?))
        .build(tauri::generate_context!())
        .context("preparing the window")?
        .run(|app, event| {
            if let RunEvent::Exit = event {
                // The program ends without dropping what it manages, so the lab is closed here.
                app.state::<Arc<Lab>>().close();
            }
        });
    Ok(())
}

/// Runs one command of the desk's table and answers as it does. Never on the thread that draws: a command may wait
/// for the disk.
#[tauri::command]
async fn call(name: String, request: Value, lab: State<'_, Arc<Lab>>) -> Result<Value, EdgeError> {
    off_the_drawing_thread(&lab, move |lab| lab.call(&name, request)).await
}

/// Takes a picture in. Its bytes are the body as they are; what it belongs to is the JSON of a `PhotoTarget` in a
/// header, with `\u` escapes for all that a header cannot hold.
#[tauri::command]
async fn put_photo(request: Request<'_>, lab: State<'_, Arc<Lab>>) -> Result<Value, EdgeError> {
    let target = request
        .headers()
        .get(PHOTO_TARGET)
        .and_then(|target| target.to_str().ok());
    let (Some(target), InvokeBody::Raw(bytes)) = (target, request.body()) else {
        return Err(lab::failed(
            "A picture came without its bytes or without its place; add it again.".to_owned(),
        ));
    };
    let (target, bytes) = (target.to_owned(), bytes.clone());
    off_the_drawing_thread(&lab, move |lab| lab.put_photo(&bytes, &target)).await
}

/// Says what a report's PDF is. Its bytes are the body as they are.
#[tauri::command]
async fn check_report(request: Request<'_>, lab: State<'_, Arc<Lab>>) -> Result<Value, EdgeError> {
    let InvokeBody::Raw(bytes) = request.body() else {
        return Err(lab::failed(
            "The report came without its bytes; choose it again.".to_owned(),
        ));
    };
    let bytes = bytes.clone();
    off_the_drawing_thread(&lab, move |lab| lab.check_report(&bytes)).await
}

/// Shows a paper of this computer, by its name, in the system's viewer.
#[tauri::command]
async fn open_paper(name: String, lab: State<'_, Arc<Lab>>) -> Result<(), EdgeError> {
    off_the_drawing_thread(&lab, move |lab| lab.open_paper(&name)).await
}

/// Shows a kept PDF, by the hash of its bytes, in the system's viewer.
#[tauri::command]
async fn open_file(hash: String, lab: State<'_, Arc<Lab>>) -> Result<(), EdgeError> {
    off_the_drawing_thread(&lab, move |lab| lab.open_file(&hash)).await
}

async fn off_the_drawing_thread<Answer: Send + 'static>(
    lab: &Arc<Lab>,
    work: impl FnOnce(&Lab) -> Result<Answer, EdgeError> + Send + 'static,
) -> Result<Answer, EdgeError> {
    let lab = Arc::clone(lab);
    spawn_blocking(move || work(&lab))
        .await
        .unwrap_or_else(|error| Err(lab::broken_off(&error)))
}

fn set_up(app: &mut App, options: &StartOptions) -> anyhow::Result<()> {
    let folder = match &options.lab {
        Some(folder) => folder.clone(),
        None => app
            .path()
            .app_data_dir()
            .context("finding this user's data folder; name one with --lab FOLDER")?,
    };
    let lab = Arc::new(Lab::open(&folder));
    let handle = app.handle().clone();
    lab.on_event(move |kind, payload| emit(&handle, kind, payload));
    app.manage(lab);

    let window = app
        .config()
        .app
        .windows
        .first()
        .context("the configuration names no window")?
        .clone();
    WebviewWindowBuilder::from_config(app, &window)
        .and_then(|builder| builder.on_navigation(is_own_page).build())
        .context("opening the window")?;
    Ok(())
}

/// The window shows its own screens and nothing else, whatever a link or a pasted address says.
fn is_own_page(url: &Url) -> bool {
    url.scheme() == "tauri" || url.host_str() == Some("tauri.localhost")
}

fn emit(app: &AppHandle, kind: &str, payload: Value) {
    // A window that is going away hears nothing more, and needs not.
    if let Err(error) = app.emit(kind, payload) {
        eprintln!("waybench: an event did not reach the window: {error}");
    }
}

fn photo(lab: &Lab, address: Option<PhotoAddress>) -> tauri::http::Response<Vec<u8>> {
    let Some(address) = address else {
        return photo_protocol::missing();
    };
    match lab.photo(&address) {
        Ok(Some(bytes)) => photo_protocol::picture(bytes),
        Ok(None) => photo_protocol::missing(),
        Err(error) => photo_protocol::unreadable(error.message),
    }
}
