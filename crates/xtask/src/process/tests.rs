use super::*;

fn shell(script: &str) -> Command {
    let mut command = Command::new("sh");
    command.args(["-c", script]);
    command
}

#[test]
fn a_program_that_fails_is_named_in_the_error() {
    let error = run(&mut shell("exit 3")).expect_err("exit 3 is a failure");
    let text = format!("{error:#}");
    assert!(text.contains("sh -c exit 3"), "{text}");
}

#[test]
fn what_a_program_prints_is_returned() {
    assert_eq!(
        output_of(&mut shell("printf 'one two'")).unwrap(),
        "one two"
    );
}

#[test]
fn a_missing_program_does_not_succeed() {
    assert!(!succeeds(&mut Command::new(
        "no-such-program-on-any-machine"
    )));
}

#[test]
fn a_dropped_program_takes_its_own_children_with_it() {
    let mut running =
        Running::start(shell("sleep 300 & echo $!; wait").stdout(Stdio::piped())).unwrap();
    let mut line = String::new();
    let stdout = running.take_stdout().unwrap();
    std::io::BufRead::read_line(&mut std::io::BufReader::new(stdout), &mut line).unwrap();
    let grandchild = line.trim().to_owned();
    assert!(succeeds(&mut shell(&format!("kill -s 0 {grandchild}"))));

    let started = Instant::now();
    drop(running);

    assert!(
        started.elapsed() < GRACE,
        "a willing program ends without force"
    );
    // The grandchild is collected by the system soon after, not by us.
    let gone = (0..100).any(|_| {
        std::thread::sleep(LOOK_AGAIN);
        !lives_unended(&grandchild)
    });
    assert!(gone, "process {grandchild} is still there");
}

/// Whether a process is there and not merely waiting to be collected (state Z in proc(5)).
fn lives_unended(id: &str) -> bool {
    std::fs::read_to_string(format!("/proc/{id}/stat")).is_ok_and(|stat| {
        !stat
            .rsplit(')')
            .next()
            .unwrap_or("")
            .trim_start()
            .starts_with('Z')
    })
}

#[test]
fn a_program_that_ignores_the_polite_request_is_forced() {
    let mut running = Running::start(
        shell("trap '' TERM; echo ready; while :; do sleep 0.05; done").stdout(Stdio::piped()),
    )
    .unwrap();
    let mut line = String::new();
    let stdout = running.take_stdout().unwrap();
    std::io::BufRead::read_line(&mut std::io::BufReader::new(stdout), &mut line).unwrap();
    let child = Arc::clone(&running.child);
    drop(running);
    assert!(lock(&child).try_wait().unwrap().is_some());
}
