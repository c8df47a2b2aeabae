//! Serde for `[T; N]` of any `N`: a sequence of exactly `N`. Serde itself has only fixed lengths.

use serde::de::{Deserialize, Deserializer, Error};
use serde::ser::{Serialize, Serializer};

pub(crate) fn serialize<T: Serialize, S: Serializer, const N: usize>(
    array: &[T; N],
    serializer: S,
) -> Result<S::Ok, S::Error> {
    array.as_slice().serialize(serializer)
}

pub(crate) fn deserialize<'de, T: Deserialize<'de>, D: Deserializer<'de>, const N: usize>(
    deserializer: D,
) -> Result<[T; N], D::Error> {
    let items = heapless::Vec::<T, N>::deserialize(deserializer)?;
    let came = items.len();
    items.into_array().map_err(|_| D::Error::invalid_length(came, &"one entry for every axis"))
}
