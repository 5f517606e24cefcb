use super::*;
use crate::store::LogStore as _;
use crate::testing::Bench;

#[test]
fn a_database_from_a_newer_version_is_refused_and_left_alone() {
    let folder = tempfile::TempDir::new().expect("a folder");
    drop(SqliteStore::open(folder.path()).expect("a store"));
    let connection = Connection::open(folder.path().join(FILE_NAME)).expect("the file");
    connection
        .pragma_update(None, "user_version", 999)
        .expect("a newer version");
    let error = SqliteStore::open(folder.path()).expect_err("it must be refused");
    assert!(
        error.to_string().contains("start the newer version"),
        "{error}"
    );
}

#[test]
fn a_write_that_fails_leaves_nothing_behind() {
    let bench = Bench::new();
    bench.desktop(1);
    let store = SqliteStore::open(bench.folder.path()).expect("a second handle");
    let failed: Result<(), StoreError> = store.write(|tx| {
        tx.execute("UPDATE lab SET log_position = 99", [])
            .doing("spoil the log")?;
        Err(StoreError::Damaged {
            what: "on purpose".to_owned(),
        })
    });
    assert!(failed.is_err());
    assert_eq!(store.lab().expect("a lab").log_position, 0);
}

#[test]
fn the_file_can_be_read_by_its_owner_only_and_survives_a_power_cut() {
    let bench = Bench::new();
    let store = SqliteStore::open(bench.folder.path()).expect("a store");
    let pragma = |name: &str| {
        let sql = format!("PRAGMA {name}");
        store
            .read(|tx| {
                tx.query_row(&sql, [], |row| row.get::<_, rusqlite::types::Value>(0))
                    .doing("ask")
            })
            .expect("an answer")
    };
    assert_eq!(
        pragma("journal_mode"),
        rusqlite::types::Value::Text("wal".to_owned())
    );
    // 2 is FULL: https://www.sqlite.org/pragma.html#pragma_synchronous
    assert_eq!(pragma("synchronous"), rusqlite::types::Value::Integer(2));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = fs::metadata(bench.folder.path().join(FILE_NAME))
            .expect("the file")
            .permissions()
            .mode();
        assert_eq!(mode & 0o777, 0o600);
    }
}

#[tokio::test]
async fn the_shop_view_can_be_thrown_away_and_rebuilt_from_the_log() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "M2");
    desktop.quote(job_id, "new");
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    let before = browser.get(&format!("/devices/{job_id}")).await.text();
    let store = SqliteStore::open(bench.folder.path()).expect("a second handle");
    store
        .write(|tx| {
            // As an older program would have left it: views of another shape, and its version.
            tx.execute_batch("UPDATE shop_job SET body = x'7B7D'; UPDATE lab SET view_version = 0")
                .doing("spoil the views")
        })
        .expect("it can be spoilt");
    assert_eq!(browser.get(&format!("/devices/{job_id}")).await.status, 500);
    drop(SqliteStore::open(bench.folder.path()).expect("opening builds the views again"));
    assert_eq!(
        browser.get(&format!("/devices/{job_id}")).await.text(),
        before
    );
}
