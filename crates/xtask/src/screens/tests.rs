use std::fs::{self, File};
use std::time::Duration;

use super::*;

/// A folder under the system's temporary one, removed at the end.
struct Scratch(PathBuf);

impl Scratch {
    fn new(name: &str) -> Self {
        let path =
            std::env::temp_dir().join(format!("xtask-screens-{name}-{}", std::process::id()));
        fs::create_dir_all(path.join("dist")).unwrap();
        fs::create_dir_all(path.join("src")).unwrap();
        Self(path)
    }

    /// Writes a file that changed `age_s` seconds before a fixed moment.
    fn write(&self, path: &str, age_s: u64) {
        let moment = SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000_000 - age_s);
        fs::create_dir_all(self.0.join(path).parent().unwrap()).unwrap();
        File::create(self.0.join(path))
            .unwrap()
            .set_modified(moment)
            .unwrap();
        // A folder changes with its files.
        for folder in ["", "src"] {
            File::open(self.0.join(folder))
                .unwrap()
                .set_modified(SystemTime::UNIX_EPOCH)
                .unwrap();
        }
    }

    fn is_up_to_date(&self) -> bool {
        is_up_to_date(&self.0.join("dist/index.html"), &self.0).unwrap()
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        drop(fs::remove_dir_all(&self.0));
    }
}

#[test]
fn screens_that_were_never_built_are_not_up_to_date() {
    let scratch = Scratch::new("never");
    scratch.write("src/main.ts", 10);
    assert!(!scratch.is_up_to_date());
}

#[test]
fn a_build_after_the_last_change_is_up_to_date() {
    let scratch = Scratch::new("after");
    scratch.write("src/main.ts", 10);
    scratch.write("dist/index.html", 5);
    assert!(scratch.is_up_to_date());
}

#[test]
fn a_change_after_the_build_makes_it_stale() {
    let scratch = Scratch::new("before");
    scratch.write("dist/index.html", 5);
    scratch.write("src/main.ts", 1);
    assert!(!scratch.is_up_to_date());
}

#[test]
fn installed_packages_do_not_make_it_stale() {
    let scratch = Scratch::new("installed");
    scratch.write("dist/index.html", 5);
    scratch.write("node_modules/thing/index.js", 1);
    assert!(scratch.is_up_to_date());
}
