//! Git and its daemon on a free port of 127.0.0.1, moving the same bytes as files.

use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use chablon_testkit::Proxy;
use chablon_wire::pb;

/// A repository that is served until it is dropped.
pub(crate) struct Git {
    work: PathBuf,
    address: SocketAddr,
    daemon: Child,
}

impl Drop for Git {
    fn drop(&mut self) {
        // Already gone is as good.
        let _ = self.daemon.kill();
        let _ = self.daemon.wait();
    }
}

impl Git {
    /// Commits the bytes, a file each, and serves the repository.
    pub(crate) fn serve(folder: &Path, all: &[pb::FrozenBytes]) -> Self {
        let work = folder.join("work");
        std::fs::create_dir_all(&work).expect("a folder");
        for (number, frozen) in all.iter().enumerate() {
            std::fs::write(work.join(format!("{number}")), &frozen.body).expect("a file");
        }
        let bare = folder.join("served.git");
        git(folder, &["init", "--quiet", "--bare", bare.to_str().expect("a path in UTF-8")]);
        git(&work, &["init", "--quiet", "--initial-branch=main"]);
        git(&work, &["remote", "add", "origin", bare.to_str().expect("a path in UTF-8")]);
        let port = free_port();
        let daemon = daemon(folder, port);
        let address = (Ipv4Addr::LOCALHOST, port).into();
        let served = Self { work, address, daemon };
        served.commit();
        git(&bare, &["symbolic-ref", "HEAD", "refs/heads/main"]);
        git(&bare, &["gc", "--quiet"]);
        served
    }

    fn commit(&self) {
        git(&self.work, &["add", "--all"]);
        let who = ["-c", "user.name=Bench", "-c", "user.email=bench@example.com"];
        git(&self.work, &[&who[..], &["commit", "--quiet", "--message", "All"]].concat());
        git(&self.work, &["push", "--quiet", "origin", "main"]);
    }

    /// Changes a file and serves that.
    pub(crate) fn change(&self, text: &str) {
        let file = self.work.join("0");
        let mut bytes = std::fs::read(&file).expect("the file is there");
        bytes.extend_from_slice(text.as_bytes());
        std::fs::write(file, bytes).expect("it is written");
        self.commit();
    }

    /// The seconds that a clone takes.
    pub(crate) fn clone_into(&self, folder: &Path) -> f64 {
        let start = Instant::now();
        self.clone_over(self.address, folder);
        start.elapsed().as_secs_f64()
    }

    fn clone_over(&self, address: SocketAddr, folder: &Path) {
        let (url, to) =
            (format!("git://{address}/served.git"), folder.to_str().expect("a path in UTF-8"));
        git(&self.work, &["clone", "--quiet", &url, to]);
    }

    /// How many bytes travel, both ways, when it is cloned.
    pub(crate) async fn bytes_of_clone(&self, folder: &Path) -> u64 {
        let proxy = Proxy::to(self.address).await;
        tokio::task::block_in_place(|| self.clone_over(proxy.address(), folder));
        proxy.carried()
    }

    /// How many bytes travel, both ways, when a clone is brought up to date.
    pub(crate) async fn bytes_of_pull(&self, folder: &Path) -> u64 {
        let proxy = Proxy::to(self.address).await;
        let url = format!("git://{}/served.git", proxy.address());
        let pull = ["pull", "--quiet", "--ff-only", &url, "main"];
        tokio::task::block_in_place(|| git(folder, &pull));
        proxy.carried()
    }

    /// The seconds that it takes to bring a clone up to date, its files included.
    pub(crate) fn pull(folder: &Path) -> f64 {
        let start = Instant::now();
        git(folder, &["pull", "--quiet", "--ff-only"]);
        start.elapsed().as_secs_f64()
    }
}

fn daemon(folder: &Path, port: u16) -> Child {
    // The daemon itself, not git starting it, so that ending it ends it.
    let tools = Command::new("git").arg("--exec-path").output().expect("git is installed").stdout;
    let tools = String::from_utf8(tools).expect("a path in UTF-8");
    let daemon = Command::new(Path::new(tools.trim()).join("git-daemon"))
        .args(["--export-all", "--reuseaddr", "--listen=127.0.0.1"])
        .arg(format!("--port={port}"))
        .arg(format!("--base-path={}", folder.display()))
        .stderr(Stdio::null())
        .spawn()
        .expect("git's daemon is installed");
    let start = Instant::now();
    while TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_err() {
        assert!(start.elapsed() < Duration::from_secs(10), "git's daemon doesn't come up");
        std::thread::sleep(Duration::from_millis(20));
    }
    daemon
}

fn free_port() -> u16 {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a free port");
    listener.local_addr().expect("a bound listener has an address").port()
}

fn git(folder: &Path, arguments: &[&str]) {
    let output = Command::new("git").args(arguments).current_dir(folder).output();
    let output = output.expect("git is installed");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "git {arguments:?}: {said}");
}
