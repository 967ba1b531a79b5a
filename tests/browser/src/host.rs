//! A static host, as plain as they come, that can be stopped.

use crate::{Result, Trouble};
use flate2::Compression;
use flate2::write::GzEncoder;
use std::fs;
use std::io::{BufRead, BufReader, ErrorKind, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::Duration;

/// Serves a folder under a path of an address of this machine.
pub struct Host {
    address: SocketAddr,
    site: Arc<Site>,
    listener: Option<JoinHandle<()>>,
}

/// What the host's threads share.
struct Site {
    /// The path that the folder is served under, with a slash at each end.
    under: String,
    folder: Mutex<PathBuf>,
    asked: Mutex<Vec<String>>,
    stopped: AtomicBool,
    leads_on: AtomicBool,
    compresses: AtomicBool,
    headers: Mutex<String>,
    spoiled: Mutex<Vec<(String, Spoiled)>>,
    /// How many requests are still answered, where somebody counts.
    left: AtomicUsize,
}

/// How a file goes wrong on its way.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Spoiled {
    /// The first half of it comes, by a head that promises all of it; then the connection ends.
    Cut,
    /// The host says that it has failed.
    Refused,
    /// It is said to be plain text.
    Misnamed,
}

impl Host {
    /// Serves this folder under this path, which begins and ends with a slash.
    ///
    /// # Errors
    /// When no port is free.
    pub fn start(folder: &Path, under: &str) -> Result<Self> {
        let site = Site {
            under: under.into(),
            folder: Mutex::new(folder.into()),
            asked: Mutex::default(),
            stopped: AtomicBool::new(true),
            leads_on: AtomicBool::new(false),
            compresses: AtomicBool::new(false),
            headers: Mutex::default(),
            spoiled: Mutex::default(),
            left: AtomicUsize::new(usize::MAX),
        };
        let mut host = Self {
            address: (Ipv4Addr::LOCALHOST, 0).into(),
            site: Arc::new(site),
            listener: None,
        };
        host.start_again()?;
        Ok(host)
    }

    /// Serves again after a stop, at the same address.
    ///
    /// # Errors
    /// When the port was taken meanwhile.
    pub fn start_again(&mut self) -> Result<()> {
        let listener = TcpListener::bind(self.address)?;
        self.address = listener.local_addr()?;
        self.site.stopped.store(false, Ordering::SeqCst);
        let site = Arc::clone(&self.site);
        self.listener = Some(thread::spawn(move || {
            for stream in listener.incoming() {
                if site.stopped.load(Ordering::SeqCst) {
                    break;
                }
                let site = Arc::clone(&site);
                // A visitor who leaves in the middle of an answer is no concern of the host's.
                thread::spawn(move || stream.map(|stream| site.answer(&stream).is_ok()));
            }
        }));
        Ok(())
    }

    /// Stops: from now on nobody answers at the address.
    ///
    /// # Errors
    /// When somebody still answers.
    pub fn stop(&mut self) -> Result<()> {
        self.end();
        match TcpStream::connect(self.address) {
            Err(error) if error.kind() == ErrorKind::ConnectionRefused => Ok(()),
            _ => Err(Trouble::new(
                "The host was stopped, yet its address still takes connections.",
            )),
        }
    }

    /// Serves another folder from now on.
    pub fn swap(&self, folder: &Path) {
        *held(&self.site.folder) = folder.into();
    }

    /// Leads from `index.html` to its folder from now on, as some hosts do.
    pub fn lead_on(&self) {
        self.site.leads_on.store(true, Ordering::SeqCst);
    }

    /// Compresses all files but pictures from now on, and lets browsers keep them for a year, as hosts are told to do for
    /// speed.
    pub fn compress(&self) {
        self.site.compresses.store(true, Ordering::SeqCst);
    }

    /// Sends this header with every file from now on, beside those before it.
    pub fn send(&self, header: &str) {
        let mut headers = held(&self.site.headers);
        headers.push_str(header);
        headers.push_str("\r\n");
    }

    /// Sends the files of these names like this from now on, and all others as they are.
    pub fn spoil(&self, files: &[(&str, Spoiled)]) {
        let files = files.iter().map(|(name, how)| ((*name).to_owned(), *how));
        *held(&self.site.spoiled) = files.collect();
    }

    /// Answers so many requests from now on, and none after them.
    pub fn answer_only(&self, requests: usize) {
        self.site.left.store(requests, Ordering::SeqCst);
    }

    /// The address of the folder.
    #[must_use]
    pub fn url(&self) -> String {
        format!("{}{}", self.origin(), self.site.under)
    }

    /// The address without a path.
    #[must_use]
    pub fn origin(&self) -> String {
        format!("http://{}", self.address)
    }

    /// The paths that were asked for since the start, with their query.
    #[must_use]
    pub fn asked(&self) -> Vec<String> {
        held(&self.site.asked).clone()
    }

    fn end(&mut self) {
        if let Some(listener) = self.listener.take() {
            self.site.stopped.store(true, Ordering::SeqCst);
            // The listener looks up when somebody comes. Whether it hears this one or was gone before is the same.
            let _ = TcpStream::connect(self.address);
            let _ = listener.join();
        }
    }
}

impl Drop for Host {
    fn drop(&mut self) {
        self.end();
    }
}

impl Site {
    /// Answers one request, and closes the connection.
    fn answer(&self, mut stream: &TcpStream) -> std::io::Result<()> {
        stream.set_read_timeout(Some(Duration::from_secs(30)))?;
        let mut lines = BufReader::new(stream).lines();
        let Some(request) = lines.next().transpose()? else {
            return Ok(());
        };
        while lines
            .next()
            .transpose()?
            .is_some_and(|header| !header.is_empty())
        {}
        // A connection opened before the stop must not get an answer after it.
        if self.stopped.load(Ordering::SeqCst) {
            return Ok(());
        }
        let target = request.split(' ').nth(1).unwrap_or_default();
        held(&self.asked).push(target.to_owned());
        let less = |left: usize| match left {
            usize::MAX => Some(left),
            left => left.checked_sub(1),
        };
        let left = self
            .left
            .fetch_update(Ordering::SeqCst, Ordering::SeqCst, less);
        if left.is_err() {
            return Ok(());
        }
        let path = target.split(['?', '#']).next().unwrap_or_default();
        let inside = path.strip_prefix(&self.under);
        if inside == Some("index.html") && self.leads_on.load(Ordering::SeqCst) {
            let to = &self.under;
            return write!(
                stream,
                "HTTP/1.1 308 Moved\r\nLocation: {to}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
            );
        }
        let spoiled = inside.and_then(|inside| self.spoiled(inside));
        match inside.and_then(|inside| self.file(inside)) {
            Some(_) if spoiled == Some(Spoiled::Refused) => write!(
                stream,
                "HTTP/1.1 500 Failed\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
            ),
            Some((kind, mut bytes)) => {
                // As long as many hosts let a browser keep files: an update must arrive all the same.
                let mut kept = "Cache-Control: max-age=600\r\n";
                if self.compresses.load(Ordering::SeqCst) && kind != "image/png" {
                    kept = "Cache-Control: max-age=31536000\r\nContent-Encoding: gzip\r\n";
                    let mut packed = GzEncoder::new(Vec::new(), Compression::best());
                    packed.write_all(&bytes)?;
                    bytes = packed.finish()?;
                }
                let (kind, sent) = match spoiled {
                    Some(Spoiled::Cut) => (kind, &bytes[..bytes.len() / 2]),
                    Some(Spoiled::Misnamed) => ("text/plain", &*bytes),
                    _ => (kind, &*bytes),
                };
                write!(
                    stream,
                    "HTTP/1.1 200 OK\r\nContent-Type: {kind}\r\nContent-Length: {}\r\n\
                     {kept}{}Connection: close\r\n\r\n",
                    bytes.len(),
                    held(&self.headers)
                )?;
                stream.write_all(sent)
            }
            None => write!(
                stream,
                "HTTP/1.1 404 Not Found\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
            ),
        }
    }

    /// How a file of the folder is spoiled, if it is.
    fn spoiled(&self, inside: &str) -> Option<Spoiled> {
        let all = held(&self.spoiled);
        let found = all.iter().find(|(name, _)| name == inside);
        found.map(|(_, how)| *how)
    }

    /// The kind and content of a file of the folder.
    fn file(&self, inside: &str) -> Option<(&'static str, Vec<u8>)> {
        if inside.split('/').any(|part| part == "..") {
            return None;
        }
        let mut file = held(&self.folder).join(inside);
        if inside.is_empty() || inside.ends_with('/') {
            file.push("index.html");
        }
        let kind = match file.extension()?.to_str()? {
            "html" => "text/html; charset=utf-8",
            "js" => "text/javascript",
            "css" => "text/css",
            "wasm" => "application/wasm",
            "webmanifest" => "application/manifest+json",
            "json" => "application/json",
            "svg" => "image/svg+xml",
            "png" => "image/png",
            _ => "application/octet-stream",
        };
        Some((kind, fs::read(file).ok()?))
    }
}

/// What a lock holds; a test that failed while holding it leaves nothing half done in it.
fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
