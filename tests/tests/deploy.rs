//! The units under `deploy/`, held to the program that they start.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const INSTALLED: &str = "/usr/local/bin/chablon";
const STATE: &str = "/var/lib/chablon";

fn unit(name: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests stand in the root");
    fs::read_to_string(root.join("deploy/systemd").join(name)).expect("the unit is there")
}

/// What a unit starts, with the program as it was built and its state in a folder.
fn start(unit_text: &str, state: &Path) -> String {
    let line = unit_text.lines().find_map(|line| line.strip_prefix("ExecStart=")).unwrap();
    assert!(line.contains(INSTALLED), "{line}");
    let program = chablon_tests::program();
    line.replace(INSTALLED, &program.to_string_lossy()).replace(STATE, &state.to_string_lossy())
}

fn chablon(state: &Path, unit_text: &str, more: &[&str]) -> Command {
    let line = start(unit_text, state);
    let mut words = line.split_whitespace();
    let mut command = Command::new(words.next().unwrap());
    command.args(words).args(more).env_remove("CHABLON_HUB");
    command
}

#[test]
fn a_hub_serves_as_its_unit_says_and_is_copied_meanwhile() {
    let state = tempfile::tempdir().unwrap();
    let text = unit("chablon-hub.service").replace("127.0.0.1:7467", "127.0.0.1:0");
    let mut hub = chablon(state.path(), &text, &[]).stdout(Stdio::piped()).spawn().unwrap();
    let mut said = String::new();
    BufReader::new(hub.stdout.take().unwrap()).read_line(&mut said).unwrap();
    assert!(said.contains("serves"), "{said}");

    // systemd halves doubled signs before the shell sees them.
    let backup = start(&unit("chablon-hub-backup.service"), state.path());
    let script = backup.strip_prefix("/bin/sh -c '").unwrap().strip_suffix('\'').unwrap();
    let script = script.replace("$$", "$").replace("%%", "%");
    let copied = Command::new("/bin/sh").args(["-c", &script]).output().unwrap();
    assert!(copied.status.success(), "{}", String::from_utf8_lossy(&copied.stderr));
    let names = fs::read_dir(state.path()).unwrap().map(|entry| entry.unwrap().file_name());
    let made = names.filter(|name| name.to_string_lossy().starts_with("hub-20")).count();
    assert_eq!(made, 1);

    let stopped = Command::new("kill").arg(hub.id().to_string()).status().unwrap();
    assert!(stopped.success());
    assert!(hub.wait().unwrap().success(), "a termination is an orderly stop");
}

#[test]
fn a_kitchen_follows_as_its_unit_says() {
    let state = tempfile::tempdir().unwrap();
    let mut kitchen = chablon(state.path(), &unit("chablon-kitchen.service"), &[])
        .envs([("CHABLON_SITE", "harbour"), ("CHABLON_HUB", "http://127.0.0.1:9")])
        .stderr(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let mut said = String::new();
    BufReader::new(kitchen.stderr.take().unwrap()).read_line(&mut said).unwrap();
    assert!(!said.starts_with("error"), "{said}");
    assert!(state.path().join("kitchen.db").exists());
    assert!(kitchen.try_wait().unwrap().is_none(), "it waits for the hub: {said}");
    Command::new("kill").arg(kitchen.id().to_string()).status().unwrap();
    kitchen.wait().unwrap();
}

/// Where systemd is at hand, it reads the units too.
#[test]
fn the_units_are_sound() {
    if Command::new("systemd-analyze").arg("--version").output().is_err() {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let names = ["chablon-hub.service", "chablon-hub-backup.service", "chablon-hub-backup.timer"];
    let copies: Vec<PathBuf> = names
        .into_iter()
        .chain(["chablon-kitchen.service"])
        .map(|name| {
            let text = unit(name).replace(INSTALLED, &chablon_tests::program().to_string_lossy());
            let path = folder.path().join(name);
            fs::write(&path, text).unwrap();
            path
        })
        .collect();
    let verify = Command::new("systemd-analyze").arg("verify").args(&copies).output().unwrap();
    let said = String::from_utf8_lossy(&verify.stderr);
    // What other units of this machine are warned of is none of ours.
    let ours: Vec<&str> = said.lines().filter(|line| line.contains("chablon")).collect();
    assert!(ours.is_empty(), "{}", ours.join("\n"));
}
