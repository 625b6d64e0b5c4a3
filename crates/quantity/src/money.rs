//! Money: an exact amount in a currency.

use std::fmt;
use std::str::FromStr;

use crate::{Exact, Number, Rounded};

/// A currency by its ISO 4217 code of three capital letters.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency([u8; 3]);

/// Why a text is no currency code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a currency code of three capital letters, such as `EUR`")]
pub struct CurrencyError(pub String);

impl Currency {
    /// The code.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.0).expect("only ASCII letters are let in")
    }

    /// How many decimals the currency's smallest coin or unit has, by ISO 4217; 2 where the
    /// table of exceptions below doesn't name it.
    pub fn minor_decimals(self) -> u32 {
        match self.code() {
            "BIF" | "CLP" | "DJF" | "GNF" | "ISK" | "JPY" | "KMF" | "KRW" | "PYG" | "RWF"
            | "UGX" | "VND" | "VUV" | "XAF" | "XOF" | "XPF" => 0,
            "BHD" | "IQD" | "JOD" | "KWD" | "LYD" | "OMR" | "TND" => 3,
            _ => 2,
        }
    }
}

impl FromStr for Currency {
    type Err = CurrencyError;
    fn from_str(text: &str) -> Result<Self, CurrencyError> {
        match <[u8; 3]>::try_from(text.as_bytes()) {
            Ok(code) if code.iter().all(u8::is_ascii_uppercase) => Ok(Self(code)),
            _ => Err(CurrencyError(text.to_owned())),
        }
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// An amount of money as written: `12.50 EUR`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct MoneyAmount {
    /// The number as written.
    pub number: Number,
    /// The currency.
    pub currency: Currency,
}

impl MoneyAmount {
    /// The exact amount in the currency.
    pub fn exact(&self) -> Exact {
        self.number.exact()
    }

    /// A total for people, rounded to the currency's smallest unit.
    pub fn round_total(amount: &Exact, currency: Currency) -> Rounded {
        amount.round(currency.minor_decimals())
    }
}

impl fmt::Display for MoneyAmount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number, self.currency)
    }
}

/// Money per hour as written: `24.50 EUR/h`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct HourlyRate(
    /// What an hour costs.
    pub MoneyAmount,
);

impl fmt::Display for HourlyRate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/h", self.0)
    }
}
