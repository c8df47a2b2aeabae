//! The name of an axis, as the box writes it into a trace.

use core::fmt;

/// The name of an axis: 1 to [`LONGEST`](Self::LONGEST) characters of ASCII that can be seen, and spaces between them,
/// without comma, quote or backslash. It is plain data; [`Plan::check`](crate::Plan::check) checks it.
///
/// ```
/// use trainer_box::AxisName;
/// const NAMES: [AxisName; 2] = AxisName::all(["aileron", "elevator"]);
/// assert_eq!(NAMES[1].as_str(), "elevator");
/// ```
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct AxisName {
    /// The name, then zeros.
    bytes: [u8; Self::LONGEST],
    /// The number of bytes of the name; `TOO_LONG` if it had more than `LONGEST`: it is cut, and is refused.
    length: u8,
}

/// Why a name is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NameFault {
    /// It has no character.
    Empty,
    /// It has more than [`AxisName::LONGEST`] characters.
    TooLong,
    /// It has a character that a name cannot have, or a space at one end.
    Character,
    /// It is the name of this axis too; capitals count as small letters.
    Twice(u8),
}

impl AxisName {
    /// The most characters of a name.
    pub const LONGEST: usize = 15;
    #[allow(clippy::cast_possible_truncation)] // it is 16
    const TOO_LONG: u8 = Self::LONGEST as u8 + 1;

    /// This name. Of one that is too long the beginning is kept, and the plan's check refuses it.
    pub const fn new(name: &str) -> Self {
        let mut bytes = [0; Self::LONGEST];
        let (mut to, mut from) = (bytes.as_mut_slice(), name.as_bytes());
        while let ([byte, rest @ ..], [first, left @ ..]) = (to, from) {
            *byte = *first;
            (to, from) = (rest, left);
        }
        if let Err(cut) = core::str::from_utf8(&bytes)
            && let Some((_, mut end)) = bytes.split_at_mut_checked(cut.valid_up_to())
        {
            while let [byte, rest @ ..] = end {
                *byte = b'?';
                end = rest;
            }
        }
        #[allow(clippy::cast_possible_truncation)] // it is at most 15
        let length = if name.len() <= Self::LONGEST { name.len() as u8 } else { Self::TOO_LONG };
        Self { bytes, length }
    }

    /// These names, axis 0 first.
    pub const fn all<const N: usize>(names: [&str; N]) -> [Self; N] {
        let mut all = [Self::new(""); N];
        let (mut to, mut from) = (all.as_mut_slice(), names.as_slice());
        while let ([name, rest @ ..], [first, left @ ..]) = (to, from) {
            *name = Self::new(first);
            (to, from) = (rest, left);
        }
        all
    }

    /// The name.
    pub const fn as_str(&self) -> &str {
        match core::str::from_utf8(self.kept()) {
            Ok(name) => name,
            Err(_) => "", // never: what is kept of a character that is cut is "?"
        }
    }

    const fn kept(&self) -> &[u8] {
        match self.bytes.split_at_checked(self.length as usize) {
            Some((name, _)) => name,
            None => &self.bytes,
        }
    }

    /// What is wrong with this name alone.
    pub(crate) const fn fault(&self) -> Option<NameFault> {
        let name = self.kept();
        if self.length == 0 {
            return Some(NameFault::Empty);
        }
        if self.length as usize > Self::LONGEST {
            return Some(NameFault::TooLong);
        }
        let mut left = name;
        while let [byte, rest @ ..] = left {
            if !matches!(byte, b' '..=b'~') || matches!(byte, b',' | b'"' | b'\'' | b'\\') {
                return Some(NameFault::Character);
            }
            left = rest;
        }
        if let [b' ', ..] | [.., b' '] = name { Some(NameFault::Character) } else { None }
    }

    /// Whether people could take one name for the other.
    pub(crate) const fn is_like(&self, other: &Self) -> bool {
        self.kept().eq_ignore_ascii_case(other.kept())
    }
}

impl fmt::Debug for AxisName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

impl fmt::Display for AxisName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// Serde for a name, which is a string, and for the names of `N` axes, which are a sequence of exactly `N`.
#[cfg(feature = "serde")]
pub(crate) mod names {
    use core::fmt;

    use serde::de::{Deserialize, Deserializer, Error, Visitor};
    use serde::ser::{Serialize, Serializer};

    use super::AxisName;

    impl Serialize for AxisName {
        fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
            if self.length < AxisName::TOO_LONG {
                return serializer.serialize_str(self.as_str());
            }
            // One character more, so that it is too long for the reader as well.
            let mut longer = heapless::String::<{ AxisName::TOO_LONG as usize }>::new();
            let _ = longer.push_str(self.as_str());
            let _ = longer.push('?');
            serializer.serialize_str(&longer)
        }
    }

    struct Name;

    impl Visitor<'_> for Name {
        type Value = AxisName;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("the name of an axis")
        }

        fn visit_str<E: Error>(self, name: &str) -> Result<AxisName, E> {
            Ok(AxisName::new(name))
        }
    }

    impl<'de> Deserialize<'de> for AxisName {
        fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
            deserializer.deserialize_str(Name)
        }
    }

    pub(crate) fn serialize<S: Serializer, const N: usize>(
        names: &[AxisName; N],
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        names.as_slice().serialize(serializer)
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>, const N: usize>(
        deserializer: D,
    ) -> Result<[AxisName; N], D::Error> {
        let names = heapless::Vec::<AxisName, N>::deserialize(deserializer)?;
        let came = names.len();
        names.into_array().map_err(|_| D::Error::invalid_length(came, &"one name for every axis"))
    }
}
