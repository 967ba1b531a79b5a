//! The process of a browser's driver.

use crate::browser::PATIENCE;
use crate::{Result, Trouble};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::process::{Child, ChildStdout, Command, Stdio};

/// The driver's process, which ends with this value.
pub struct DriverProcess {
    child: Child,
    port: u16,
    /// Kept open, for a driver that cannot write ends.
    output: Option<BufReader<ChildStdout>>,
}

impl DriverProcess {
    /// Starts a driver, which names its port behind these words. It ends at once where the port that was free a moment
    /// ago is taken on one of the machine's two addresses, so it is started once more.
    pub fn start(mut driver: impl FnMut() -> Command, words: &str) -> Result<Self> {
        for _ in 0..3 {
            if let Some(process) = Self::once(driver(), words)? {
                return Ok(process);
            }
        }
        let name = driver().get_program().display().to_string();
        Err(Trouble::new(format!(
            "{name} ended three times without taking a connection."
        )))
    }

    /// Starts the driver on a free port of its own choice, which it names: a port chosen here might be
    /// somebody else's by the time the driver asks for it. None where it ends.
    fn once(mut driver: Command, words: &str) -> Result<Option<Self>> {
        driver
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null());
        let mut child = driver.spawn().map_err(|error| {
            Trouble::new(format!(
                "{} cannot be started ({error}): `cargo xtask test` sets it up.",
                driver.get_program().display()
            ))
        })?;
        let output = child.stdout.take().map(BufReader::new);
        let mut process = Self {
            child,
            port: 0,
            output,
        };
        let said = process.output.as_mut().map(BufRead::lines);
        for line in said.into_iter().flatten() {
            let port = line?
                .split_once(words)
                .and_then(|(_, port)| port.trim_end_matches('.').parse().ok());
            if let Some(port) = port {
                process.port = port;
                return Ok(Some(process));
            }
        }
        Ok(None)
    }

    /// The address at which it takes commands.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// Tells the driver to end the browser, and waits until it has.
    pub fn end_session(&self, session: &str) -> Result<()> {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port))?;
        stream.set_read_timeout(Some(PATIENCE))?;
        write!(
            stream,
            "DELETE /session/{session} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Length: 0\r\n\r\n",
            self.port
        )?;
        stream.read_exact(&mut [0])?;
        Ok(())
    }
}

impl Drop for DriverProcess {
    fn drop(&mut self) {
        // A driver that is gone already needs no ending.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
