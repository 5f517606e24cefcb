//! What an operator decides: one TOML file, each line of which a flag may replace.
//!
//! Reading stops at the first thing that is wrong and says what would be right; nothing is guessed, and an unknown key is an
//! error, because a misspelt limit that is silently ignored is worse than a server that does not start.

use std::fs;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde::Deserialize;

use crate::clock::{Clock, SystemClock};

/// Why the configuration can't be used.
#[derive(Debug, thiserror::Error)]
pub enum ConfigError {
    /// The file could not be read.
    #[error("the configuration file {path} can't be read; give the path of a readable TOML file")]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// The file is not TOML, or holds a key this version doesn't know.
    #[error("the configuration file {path} can't be understood")]
    Parse {
        /// The file.
        path: PathBuf,
        /// Where and why.
        #[source]
        source: toml::de::Error,
    },
    /// Neither the file nor a flag says where the data is kept.
    #[error(
        "no data folder is given; add `data = \"/var/lib/waybench\"` to the file, or --data DIR"
    )]
    NoData,
    /// The public address is not one a browser can be sent to.
    #[error(
        "“{given}” is not a public address; give scheme and host only, as in https://repairs.example.org"
    )]
    PublicUrl {
        /// What was given.
        given: String,
    },
    /// One half of the TLS pair is missing.
    #[error(
        "TLS needs both a certificate and a key; give --tls-cert and --tls-key, or neither and put a proxy in front"
    )]
    HalfTls,
}

/// Certificate and key in PEM files.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TlsFiles {
    /// The certificate chain, the server's own first.
    pub certificate: PathBuf,
    /// Its private key.
    pub key: PathBuf,
}

/// Bounds on what one lab may use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Quotas {
    /// All photos and files together. 200 GB: forty devices a day with twelve photos of 0.5 MB for two years is 180 GB.
    pub attachments_bytes: u64,
    /// All entries together. 20 GB: 400 bytes an entry is 50 million entries, more than a lab of 20 writes in a working life.
    pub entries_bytes: u64,
    /// Users of one shop.
    pub users_per_shop: u32,
}

impl Default for Quotas {
    fn default() -> Self {
        Self {
            attachments_bytes: 200_000_000_000,
            entries_bytes: 20_000_000_000,
            users_per_shop: 50,
        }
    }
}

/// The file as written; every key may be missing.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ConfigFile {
    /// The folder that holds the database and the photos.
    pub data: Option<PathBuf>,
    /// Address and port to listen on.
    pub listen: Option<SocketAddr>,
    /// What browsers and desktops call this server, scheme and host.
    pub public_url: Option<String>,
    /// Whether `X-Forwarded-For` is set by a proxy that we trust.
    pub trusted_proxy: Option<bool>,
    /// Whether anybody may ask for a transport verdict, without an account.
    pub public_verdicts: Option<bool>,
    /// TLS by certificate files.
    pub tls: Option<TlsFiles>,
    /// Bounds on use.
    pub quotas: Option<Quotas>,
}

impl ConfigFile {
    /// Reads the file.
    pub fn read(path: &Path) -> Result<Self, ConfigError> {
        let text = fs::read_to_string(path).map_err(|source| ConfigError::Read {
            path: path.to_owned(),
            source,
        })?;
        toml::from_str(&text).map_err(|source| ConfigError::Parse {
            path: path.to_owned(),
            source,
        })
    }

    /// Puts each key that `over` gives in place of the file's.
    #[must_use]
    pub fn overridden_by(self, over: Self) -> Self {
        Self {
            data: over.data.or(self.data),
            listen: over.listen.or(self.listen),
            public_url: over.public_url.or(self.public_url),
            trusted_proxy: over.trusted_proxy.or(self.trusted_proxy),
            public_verdicts: over.public_verdicts.or(self.public_verdicts),
            tls: over.tls.or(self.tls),
            quotas: over.quotas.or(self.quotas),
        }
    }

    /// Fills in what was not said and checks the rest.
    pub fn finish(self) -> Result<Config, ConfigError> {
        let listen = self
            .listen
            .unwrap_or_else(|| SocketAddr::from(([127, 0, 0, 1], DEFAULT_PORT)));
        let public_url = match self.public_url {
            Some(given) => Some(PublicUrl::parse(&given)?),
            None => None,
        };
        Ok(Config {
            data: self.data.ok_or(ConfigError::NoData)?,
            listen,
            public_url,
            trusted_proxy: self.trusted_proxy.unwrap_or(false),
            public_verdicts: self.public_verdicts.unwrap_or(false),
            tls: self.tls,
            quotas: self.quotas.unwrap_or_default(),
            clock: Arc::new(SystemClock),
        })
    }
}

/// The port used when none is named.
pub const DEFAULT_PORT: u16 = 8460;

/// The server's public address: scheme and host, no path, no slash at the end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PublicUrl(String);

impl PublicUrl {
    /// Checks that `given` is `http://host[:port]` or `https://host[:port]`. A slash at the end is dropped.
    pub fn parse(given: &str) -> Result<Self, ConfigError> {
        let wrong = || ConfigError::PublicUrl {
            given: given.to_owned(),
        };
        let trimmed = given.strip_suffix('/').unwrap_or(given);
        let host = trimmed
            .strip_prefix("https://")
            .or_else(|| trimmed.strip_prefix("http://"))
            .ok_or_else(wrong)?;
        let is_host = !host.is_empty()
            && host
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | ':' | '[' | ']'));
        if is_host {
            Ok(Self(trimmed.to_owned()))
        } else {
            Err(wrong())
        }
    }

    /// The address of the server that listens on `address` without a name of its own.
    pub fn local(address: SocketAddr, is_tls: bool) -> Self {
        let scheme = if is_tls { "https" } else { "http" };
        Self(format!("{scheme}://{address}"))
    }

    /// The address as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether browsers reach us by TLS: cookies are then `Secure`.
    pub fn is_https(&self) -> bool {
        self.0.starts_with("https://")
    }
}

/// A configuration that can be started.
#[derive(Debug, Clone)]
pub struct Config {
    /// The folder that holds the database and the photos; made if missing.
    pub data: PathBuf,
    /// Where to listen; port 0 takes any free port.
    pub listen: SocketAddr,
    /// What browsers call us; the listening address if not given.
    pub public_url: Option<PublicUrl>,
    /// Whether the last address in `X-Forwarded-For` is believed.
    pub trusted_proxy: bool,
    /// Whether anybody may ask for a transport verdict; if not, only signed-in shop users and joined desktops may.
    pub public_verdicts: bool,
    /// TLS by certificate files; plain HTTP without.
    pub tls: Option<TlsFiles>,
    /// Bounds on use.
    pub quotas: Quotas,
    /// Tells the time.
    pub clock: Arc<dyn Clock>,
}

impl Config {
    /// A server on any free port of this machine, as tests, the demonstration and trials use it.
    pub fn local(data: PathBuf) -> Self {
        Self {
            data,
            listen: SocketAddr::from(([127, 0, 0, 1], 0)),
            public_url: None,
            trusted_proxy: false,
            public_verdicts: false,
            tls: None,
            quotas: Quotas::default(),
            clock: Arc::new(SystemClock),
        }
    }
}

#[cfg(test)]
mod tests;
