//! Serving the site while one works on it.

use crate::Result;
use crate::build::trunk;
use crate::run::run;
use crate::tools::{Tool, ready};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::thread;
use std::time::Duration;

/// The port that is tried first when none is asked for.
const FIRST_PORT: u16 = 8080;
/// How many ports are tried from there on.
const PORTS: u16 = 100;

/// Serves the site and rebuilds it on every change, until it is interrupted.
///
/// # Errors
/// When an argument is wrong, no port is free, or the set-up or the server fails.
pub fn serve(arguments: &[String]) -> Result<()> {
    let (address, port) = read(arguments)?;
    let tools = ready(&[Tool::Trunk, Tool::WasmBindgen])?;
    let port = free_port(address, port, |port| {
        TcpListener::bind((address, port)).is_ok()
    })?;
    let place = SocketAddr::new(address, port);
    println!("Building; the page will be at http://{place}/");
    thread::spawn(move || {
        while TcpStream::connect(place).is_err() {
            thread::sleep(Duration::from_millis(200));
        }
        println!("\n  Decal Reckoner is at http://{place}/  (Ctrl-C ends it)\n");
    });
    let (address, port) = (address.to_string(), port.to_string());
    // Trunk's own reload needs an inline script, which the page's policy forbids; the page offers the new build itself.
    run(trunk(&tools)?.args([
        "serve",
        "--no-autoreload",
        "--no-spa",
        "--address",
        &address,
        "--port",
        &port,
    ]))
}

/// Reads `--port N` and `--address A`.
fn read(arguments: &[String]) -> Result<(IpAddr, Option<u16>)> {
    let (mut address, mut port) = (IpAddr::V4(Ipv4Addr::LOCALHOST), None);
    let mut rest = arguments.iter();
    while let Some(switch) = rest.next() {
        let value = rest.next().map_or("", String::as_str);
        match switch.as_str() {
            "--port" => {
                port =
                    Some(value.parse().map_err(|_| {
                        format!("--port takes a number up to 65535, not `{value}`.")
                    })?);
            }
            "--address" => {
                address = value
                    .parse()
                    .map_err(|_| format!("--address takes an address, not `{value}`."))?;
            }
            other => return Err(format!("serve knows --port and --address, not `{other}`.")),
        }
    }
    Ok((address, port))
}

/// The port asked for, or the first that is free.
fn free_port(address: IpAddr, asked: Option<u16>, is_free: impl Fn(u16) -> bool) -> Result<u16> {
    match asked {
        Some(port) if is_free(port) => Ok(port),
        Some(port) => Err(format!(
            "Port {port} of {address} is taken or forbidden; choose another with --port."
        )),
        None => (FIRST_PORT..FIRST_PORT + PORTS)
            .find(|port| is_free(*port))
            .ok_or_else(|| {
                format!(
                    "No port of {address} from {FIRST_PORT} on is free; choose one with --port."
                )
            }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(line: &str) -> Vec<String> {
        line.split_whitespace().map(str::to_owned).collect()
    }

    #[test]
    fn address_and_port_are_read_in_any_order() {
        let expected = (IpAddr::V4(Ipv4Addr::UNSPECIFIED), Some(9000));
        assert_eq!(read(&words("--port 9000 --address 0.0.0.0")), Ok(expected));
        assert_eq!(read(&words("--address 0.0.0.0 --port 9000")), Ok(expected));
    }

    #[test]
    fn wrong_arguments_are_named() {
        for (line, named) in [
            ("--port 99999", "99999"),
            ("--address here", "here"),
            ("--prot 1", "--prot"),
            ("--port", "--port"),
        ] {
            let error = read(&words(line)).expect_err(line);
            assert!(error.contains(named), "{error}");
        }
    }

    #[test]
    fn a_taken_port_is_refused_or_passed_over() {
        let here = IpAddr::V4(Ipv4Addr::LOCALHOST);
        let is_free = |port: u16| port > FIRST_PORT + 1;
        assert_eq!(free_port(here, None, is_free), Ok(FIRST_PORT + 2));
        assert_eq!(free_port(here, Some(9000), is_free), Ok(9000));
        let error = free_port(here, Some(80), is_free).expect_err("the port is taken");
        assert!(error.contains("80"), "{error}");
        assert!(free_port(here, None, |_| false).is_err());
    }
}
