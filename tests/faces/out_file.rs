//! Where `--out` points to something else than a plain file.

use super::command::{err, fairturn, folder, out};
use std::fs::{self, File};
use std::io::Read;
use std::os::unix::fs::{FileTypeExt, symlink};
use std::process::Command;

const ASKED: [&str; 5] = ["invent", "--children", "3", "--adults", "2"];

fn to(path: &std::path::Path) -> std::process::Output {
    let name = path.display().to_string();
    fairturn(&[&ASKED[..], &["--out", &name]].concat())
}

#[test]
fn a_pipe_or_a_device_is_written_to_and_never_replaced() {
    let pipe = folder("out_file").join("pipe");
    let _ = fs::remove_file(&pipe);
    assert!(Command::new("mkfifo").arg(&pipe).status().expect("mkfifo starts").success());
    // Open both ways, so that neither end waits for the other; the text fits the pipe.
    let mut reader = File::options().read(true).write(true).open(&pipe).expect("a pipe opens");
    let told = to(&pipe);
    assert_eq!(told.status.code(), Some(0), "{}", err(&told));
    assert!(fs::metadata(&pipe).expect("it is still there").file_type().is_fifo());
    let plain = fairturn(&ASKED);
    let mut read = vec![0; plain.stdout.len()];
    reader.read_exact(&mut read).expect("the whole text comes through");
    assert_eq!(std::str::from_utf8(&read), Ok(out(&plain)));
}

#[test]
fn a_link_goes_on_pointing_at_its_file() {
    let (file, link) = (folder("out_file").join("real"), folder("out_file").join("link"));
    fs::write(&file, "old").expect("a file for the test");
    let _ = fs::remove_file(&link);
    symlink(&file, &link).expect("a link for the test");
    assert_eq!(to(&link).status.code(), Some(0));
    assert!(fs::symlink_metadata(&link).expect("it is still there").is_symlink());
    assert_eq!(fs::read(&file).expect("the file"), fairturn(&ASKED).stdout);

    fs::remove_file(&file).expect("the file goes");
    let told = to(&link);
    assert_eq!(told.status.code(), Some(2));
    assert!(err(&told).contains("points at nothing"), "{}", err(&told));
}

#[test]
fn a_folder_is_no_file() {
    let told = to(&folder("out_file"));
    assert_eq!(told.status.code(), Some(2));
    assert!(err(&told).contains("cannot be written"), "{}", err(&told));
}
