use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::Path;
use std::sync::Barrier;
use std::thread;
use std::time::{Duration, SystemTime};

use tempfile::TempDir;

use crate::durable::Sink;
use crate::*;

/// A store in a folder that goes away with it.
struct Lab {
    folder: TempDir,
    store: Store,
}

fn lab() -> Lab {
    lab_with(Limits::default())
}

fn lab_with(limits: Limits) -> Lab {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(folder.path().join("files"), limits).unwrap();
    Lab { folder, store }
}

impl Lab {
    /// Every file below the store's folder but the visible ones.
    fn leftovers(&self) -> Vec<String> {
        let root = self.folder.path().join("files");
        ["temporary", "uploads"]
            .iter()
            .flat_map(|name| names(&root.join(name)))
            .collect()
    }
}

fn names(folder: &Path) -> Vec<String> {
    fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect()
}

fn upload_of(bytes: &[u8]) -> Upload {
    Upload {
        hash: hash_of(bytes),
        size_bytes: bytes.len() as u64,
    }
}

/// A disk with room for a few more bytes.
struct FullDisk {
    file: File,
    room_bytes: usize,
}

impl Write for FullDisk {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.room_bytes == 0 && !bytes.is_empty() {
            return Err(io::ErrorKind::StorageFull.into());
        }
        let count = self
            .file
            .write(&bytes[..bytes.len().min(self.room_bytes)])?;
        self.room_bytes -= count;
        Ok(count)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl Sink for FullDisk {
    fn sync(&mut self) -> io::Result<()> {
        self.file.sync_all()
    }
}

/// A disk that takes every byte and then can't keep them, as network disks and worn cards do.
struct LosesAtSync(File);

impl Write for LosesAtSync {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

impl Sink for LosesAtSync {
    fn sync(&mut self) -> io::Result<()> {
        Err(io::Error::other("input/output error"))
    }
}

// SHA-256 of "abc" and of nothing: FIPS 180-4 examples (NIST, SHA256.pdf); the second from memory.
const HASH_OF_ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
const HASH_OF_NOTHING: &str = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";

#[test]
fn a_file_is_named_by_the_sha_256_of_its_bytes() {
    let lab = lab();
    for (bytes, hash) in [(b"abc".as_slice(), HASH_OF_ABC), (b"", HASH_OF_NOTHING)] {
        let stored = lab.store.put(bytes).unwrap();
        assert_eq!(
            stored,
            Stored {
                hash: hash.parse().unwrap(),
                size_bytes: bytes.len() as u64
            }
        );
        assert_eq!(lab.store.get(&stored.hash).unwrap(), bytes);
    }
}

#[test]
fn a_file_lies_under_the_first_two_digits_of_its_hash() {
    let lab = lab();
    let stored = lab.store.put(b"abc").unwrap();
    let path = lab.store.path_of(&stored.hash);
    assert!(
        path.ends_with(format!("blobs/ba/{}", &HASH_OF_ABC[2..])),
        "{}",
        path.display()
    );
    assert_eq!(fs::read(path).unwrap(), b"abc");
    assert!(lab.leftovers().is_empty());
}

#[test]
fn a_large_file_is_stored_through_a_reader_whatever_it_hands_out_at_a_time() {
    /// Hands out one byte, then two, then three.
    struct Stingy<'bytes>(&'bytes [u8], usize);
    impl Read for Stingy<'_> {
        fn read(&mut self, target: &mut [u8]) -> io::Result<usize> {
            self.1 += 1;
            let count = self.1.min(target.len());
            self.0.read(&mut target[..count])
        }
    }
    let lab = lab();
    let bytes: Vec<u8> = (0_u32..300_000).flat_map(u32::to_le_bytes).collect();
    let stored = lab.store.put_reader(Stingy(&bytes, 0)).unwrap();
    assert_eq!(
        stored,
        Stored {
            hash: hash_of(&bytes),
            size_bytes: 1_200_000
        }
    );
    assert_eq!(lab.store.verify(&stored.hash).unwrap(), stored);
}

#[test]
fn storing_the_same_bytes_again_is_fine_and_leaves_nothing_behind() {
    let lab = lab();
    let first = lab.store.put(b"board photo").unwrap();
    let written = fs::metadata(lab.store.path_of(&first.hash))
        .unwrap()
        .modified()
        .unwrap();
    assert_eq!(lab.store.put(b"board photo").unwrap(), first);
    assert_eq!(
        fs::metadata(lab.store.path_of(&first.hash))
            .unwrap()
            .modified()
            .unwrap(),
        written
    );
    assert!(lab.leftovers().is_empty());
}

#[test]
fn a_stored_file_that_lost_bytes_is_replaced_when_it_is_stored_again() {
    let lab = lab();
    let stored = lab.store.put(b"board photo").unwrap();
    fs::write(lab.store.path_of(&stored.hash), b"board").unwrap();
    lab.store.put(b"board photo").unwrap();
    assert_eq!(lab.store.get(&stored.hash).unwrap(), b"board photo");
}

#[test]
fn altered_bytes_are_never_handed_out() {
    let lab = lab();
    let stored = lab.store.put(b"board photo").unwrap();
    fs::write(lab.store.path_of(&stored.hash), b"bored photo").unwrap();
    assert!(matches!(
        lab.store.get(&stored.hash),
        Err(StoreError::Altered { .. })
    ));
    assert!(matches!(
        lab.store.verify(&stored.hash),
        Err(StoreError::Altered { .. })
    ));
}

#[test]
fn a_file_that_isnt_stored_is_told_by_its_hash() {
    let lab = lab();
    let hash = hash_of(b"abc");
    assert_eq!(
        lab.store.get(&hash).unwrap_err().to_string(),
        format!("no file {HASH_OF_ABC} is stored here")
    );
    assert!(!lab.store.contains(&hash).unwrap());
    assert_eq!(lab.store.size(&hash).unwrap(), None);
    assert!(!lab.store.remove(&hash).unwrap());
}

#[test]
fn a_removed_file_is_gone() {
    let lab = lab();
    let stored = lab.store.put(b"abc").unwrap();
    assert_eq!(lab.store.size(&stored.hash).unwrap(), Some(3));
    assert!(lab.store.remove(&stored.hash).unwrap());
    assert!(!lab.store.contains(&stored.hash).unwrap());
}

#[test]
fn all_hashes_are_listed_and_strange_files_passed_over() {
    let lab = lab();
    let mut wanted: Vec<_> = [b"a", b"b", b"c"]
        .iter()
        .map(|bytes| lab.store.put(*bytes).unwrap().hash)
        .collect();
    wanted.sort();
    let blobs = lab.folder.path().join("files/blobs");
    fs::write(blobs.join("desktop.ini"), b"").unwrap();
    fs::create_dir_all(blobs.join("zz")).unwrap();
    fs::write(blobs.join("zz/notes.txt"), b"").unwrap();
    assert_eq!(lab.store.hashes().unwrap(), wanted);
}

#[test]
fn a_store_keeps_its_files_when_it_is_opened_again() {
    let lab = lab();
    let stored = lab.store.put(b"abc").unwrap();
    let again = Store::open(lab.folder.path().join("files"), Limits::default()).unwrap();
    assert_eq!(again.get(&stored.hash).unwrap(), b"abc");
}

#[test]
fn a_store_cant_be_opened_where_a_file_lies() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("files"), b"").unwrap();
    let error = Store::open(folder.path().join("files"), Limits::default()).unwrap_err();
    assert!(matches!(error, StoreError::MakeFolder { .. }), "{error:?}");
}

#[test]
fn a_full_disk_leaves_no_visible_file_and_says_where_it_happened() {
    let lab = lab();
    let bytes = vec![7; 200_000];
    for room_bytes in [0, 1, 65_536, 199_999] {
        let error = lab
            .store
            .put_through(bytes.as_slice(), |file| FullDisk { file, room_bytes })
            .unwrap_err();
        assert!(error.is_disk_full() && !error.is_permanent(), "{error:?}");
        assert!(error.to_string().contains("temporary"), "{error}");
        assert!(std::error::Error::source(&error).is_some());
        assert!(!lab.store.contains(&hash_of(&bytes)).unwrap());
        assert!(lab.leftovers().is_empty());
    }
    let enough = lab.store.put_through(bytes.as_slice(), |file| FullDisk {
        file,
        room_bytes: 200_000,
    });
    assert_eq!(enough.unwrap().hash, hash_of(&bytes));
}

#[test]
fn bytes_that_the_disk_didnt_keep_are_not_made_visible() {
    let lab = lab();
    let error = lab
        .store
        .put_through(b"abc".as_slice(), LosesAtSync)
        .unwrap_err();
    assert!(
        matches!(error, StoreError::Write { .. }) && !error.is_disk_full(),
        "{error:?}"
    );
    assert!(!lab.store.contains(&hash_of(b"abc")).unwrap());
    assert!(lab.leftovers().is_empty());
}

#[test]
fn an_input_that_breaks_off_leaves_nothing() {
    struct Breaks;
    impl Read for Breaks {
        fn read(&mut self, _target: &mut [u8]) -> io::Result<usize> {
            Err(io::Error::other("the card was pulled out"))
        }
    }
    let lab = lab();
    let error = lab.store.put_reader(b"abc".chain(Breaks)).unwrap_err();
    assert!(matches!(error, StoreError::ReadInput { .. }), "{error:?}");
    assert!(lab.store.hashes().unwrap().is_empty());
    assert!(lab.leftovers().is_empty());
}

#[test]
fn a_file_over_the_limit_is_refused_and_one_at_the_limit_taken() {
    let lab = lab_with(Limits {
        file_bytes_max: 10,
        ..Limits::default()
    });
    assert!(lab.store.put(&[0; 10]).is_ok());
    let error = lab.store.put(&[0; 11]).unwrap_err();
    assert!(matches!(error, StoreError::FileTooLarge { limit_bytes: 10 }) && error.is_permanent());
    let upload = upload_of(&[0; 11]);
    assert!(matches!(
        lab.store.upload_offset(&upload),
        Err(StoreError::FileTooLarge { .. })
    ));
    assert!(matches!(
        lab.store.append_at(&upload, 0, &[0; 5]),
        Err(StoreError::FileTooLarge { .. })
    ));
    assert!(lab.leftovers().is_empty());
}

#[test]
fn old_temporary_files_are_swept_and_new_ones_kept() {
    let lab = lab();
    let folder = lab.folder.path().join("files/temporary");
    let now = SystemTime::now();
    for (name, age_s) in [("1-0", 7200), ("1-1", 10)] {
        let file = File::create(folder.join(name)).unwrap();
        file.set_modified(now - Duration::from_secs(age_s)).unwrap();
    }
    assert_eq!(
        lab.store
            .sweep_temporary(now - Duration::from_hours(1))
            .unwrap(),
        1
    );
    assert_eq!(lab.leftovers(), ["1-1"]);
}

#[test]
fn a_temporary_file_of_an_earlier_process_with_the_same_id_is_not_written_over() {
    let lab = lab();
    let folder = lab.folder.path().join("files/temporary");
    for number in 0..500 {
        fs::write(
            folder.join(format!("{}-{number}", std::process::id())),
            b"earlier",
        )
        .unwrap();
    }
    lab.store.put(b"abc").unwrap();
    assert!(
        names(&folder)
            .iter()
            .all(|name| fs::read(folder.join(name)).unwrap() == b"earlier")
    );
}

#[test]
fn many_threads_can_store_the_same_and_different_files_at_once() {
    let lab = lab();
    let start = Barrier::new(8);
    thread::scope(|scope| {
        for thread in 0..8_u8 {
            let (store, start) = (&lab.store, &start);
            scope.spawn(move || {
                start.wait();
                for number in 0..20_u8 {
                    store.put(&[number; 1000]).unwrap();
                    store.put(&[thread, number]).unwrap();
                }
            });
        }
    });
    assert_eq!(lab.store.hashes().unwrap().len(), 20 + 8 * 20);
    assert!(
        lab.store
            .hashes()
            .unwrap()
            .iter()
            .all(|hash| lab.store.verify(hash).is_ok())
    );
    assert!(lab.leftovers().is_empty());
}

mod uploads;
