use std::io::{Read as _, Write as _};
use std::net::TcpStream;

use super::*;

fn ask(address: SocketAddr, path: &str) -> String {
    let mut stream = TcpStream::connect(address).expect("the server listens");
    write!(
        stream,
        "GET {path} HTTP/1.1\r\nhost: {address}\r\nconnection: close\r\n\r\n"
    )
    .expect("a request");
    let mut answer = String::new();
    stream
        .read_to_string(&mut answer)
        .expect("an answer in text");
    answer
}

#[test]
fn a_server_answers_on_a_free_port_until_it_is_stopped() {
    let folder = tempfile::TempDir::new().expect("a folder");
    let running = start(Config::local(folder.path().to_owned())).expect("it starts");
    let address = running.address;
    assert_ne!(address.port(), 0);
    assert_eq!(running.public_url(), format!("http://{address}"));
    assert!(ask(address, "/healthz").starts_with("HTTP/1.1 200"));
    assert!(ask(address, "/sign-in").contains("Sign in"));
    running.stop();
    assert!(
        TcpStream::connect(address).is_err(),
        "nothing listens any more"
    );
}

#[test]
fn a_taken_port_is_told_with_its_address() {
    let taken = TcpListener::bind("127.0.0.1:0").expect("a free port");
    let folder = tempfile::TempDir::new().expect("a folder");
    let listen = taken.local_addr().expect("its address");
    let error = start(Config {
        listen,
        ..Config::local(folder.path().to_owned())
    })
    .expect_err("the port is taken");
    assert!(error.to_string().contains(&listen.to_string()), "{error}");
}

#[test]
fn a_certificate_that_is_none_stops_the_start_and_names_the_file() {
    let folder = tempfile::TempDir::new().expect("a folder");
    let file = folder.path().join("not-a-certificate.pem");
    std::fs::write(&file, "nothing of the kind").expect("a file");
    let tls = Some(TlsFiles {
        certificate: file.clone(),
        key: file,
    });
    let error = start(Config {
        tls,
        ..Config::local(folder.path().to_owned())
    })
    .expect_err("it is no certificate");
    assert!(
        error.to_string().contains("not-a-certificate.pem"),
        "{error}"
    );
}
