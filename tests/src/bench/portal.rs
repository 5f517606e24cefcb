//! The page of a device, asked for by many counters at once.

use std::sync::Arc;
use std::time::{Duration, Instant};

use reqwest::header::COOKIE;

use super::Scale;
use super::seed::Lab;
use super::table::{Budget, Table};
use crate::house::{Browser, Desktop, Server, client, shop_link};

/// A counter looks at a page this often while a customer waits.
const PAUSE: Duration = Duration::from_secs(1);

/// Opens pages from many clients: as counters do, and as fast as they can.
pub(super) fn pages(table: &mut Table, scale: Scale, lab: &Lab, second: &Desktop, server: &Server) {
    super::say("opening pages");
    let mut browser = Browser::new(&server.url());
    browser.follow_invite(&shop_link(second, lab.shops[0], "counter@corner.example"));
    let page = browser.get("/devices");
    assert_eq!(page.status, 200);
    // The shop's own devices; each client opens another one.
    let urls: Vec<String> = lab
        .jobs
        .iter()
        .step_by((lab.jobs.len() / 400).max(1))
        .map(|job_id| format!("/devices/{job_id}"))
        .filter(|path| browser.get(path).status == 200)
        .map(|path| format!("{}{path}", server.url()))
        .collect();
    assert!(!urls.is_empty(), "some of them are this shop's");
    let urls = Arc::new(urls);
    let cookie = browser.cookie_line();
    let paced = ask(scale.clients, scale.pages, Some(PAUSE), &urls, &cookie);
    table.add(
        &format!(
            "portal: a device’s page, {} clients, one page a second each",
            scale.clients
        ),
        Budget::P99(Duration::from_millis(20)),
        paced,
    );
    let began = Instant::now();
    let flat_out = ask(scale.clients, scale.pages * 5, None, &urls, &cookie);
    let rate = f64::from(u32::try_from(flat_out.len()).unwrap_or(u32::MAX))
        / began.elapsed().as_secs_f64();
    let what = format!(
        "the same, as fast as they can: {rate:.0} pages a second, waiting in line included"
    );
    table.add(&what, Budget::None, flat_out);
}

/// So many clients, each with a connection of its own; the time of each page, by the client's watch.
fn ask(
    clients: usize,
    pages: usize,
    pause: Option<Duration>,
    urls: &Arc<Vec<String>>,
    cookie: &str,
) -> Vec<Duration> {
    let threads: Vec<_> = (0..clients)
        .map(|number| {
            let (urls, cookie, client) = (Arc::clone(urls), cookie.to_owned(), client());
            std::thread::spawn(move || {
                // Spread over the second, as people are.
                if let Some(pause) = pause {
                    std::thread::sleep(
                        pause * u32::try_from(number).unwrap_or(0)
                            / u32::try_from(clients).unwrap_or(1),
                    );
                }
                let mut measured = Vec::with_capacity(pages);
                for page in 0..pages {
                    let url = &urls[(number + page * clients) % urls.len()];
                    let began = Instant::now();
                    let response = client
                        .get(url)
                        .header(COOKIE, &cookie)
                        .send()
                        .expect("the server answers");
                    assert!(response.status().is_success());
                    response.bytes().expect("the whole page");
                    measured.push(began.elapsed());
                    if let Some(pause) = pause {
                        std::thread::sleep(pause.saturating_sub(began.elapsed()));
                    }
                }
                measured
            })
        })
        .collect();
    threads
        .into_iter()
        .flat_map(|thread| thread.join().expect("no client fails"))
        .collect()
}
