//! The two forms of a value, and what every conversion is made of.

use std::fmt::Display;
use std::str::FromStr;

use chablon_model::IdError;

use crate::{At, Violation};

/// A value that has a form in the schema.
///
/// Out and back is equal. On the way in everything is checked: what a type of the model can't
/// express is refused, and so is what the schema's comments rule out.
pub trait Wire: Sized {
    /// The generated type.
    type Pb;

    /// The form in the schema.
    ///
    /// A value that breaks a rule of the schema (a recipe without lines, say) has a form that
    /// [`Wire::from_pb`] refuses.
    fn to_pb(&self) -> Self::Pb;

    /// The value, if the form keeps the rules.
    fn from_pb(pb: Self::Pb) -> Result<Self, Violation>;
}

/// A value of an enum that has a number in the schema.
pub(crate) trait Coded: Copy {
    /// The number.
    fn code(self) -> i32;
    /// The value of this number.
    fn from_code(code: i32) -> Option<Self>;
}

/// Pairs the values of an enum of the model with those of the generated one.
macro_rules! coded {
    ($model:ty = $pb:ty { $($variant:ident = $theirs:ident),+ $(,)? }) => {
        impl $crate::form::Coded for $model {
            fn code(self) -> i32 {
                match self {
                    $(Self::$variant => <$pb>::$theirs as i32,)+
                }
            }
            fn from_code(code: i32) -> Option<Self> {
                match <$pb>::try_from(code).ok()? {
                    <$pb>::Unspecified => None,
                    $(<$pb>::$theirs => Some(Self::$variant),)+
                }
            }
        }
    };
    ($model:ty = $pb:ty { $($variant:ident),+ $(,)? }) => {
        $crate::form::coded!($model = $pb { $($variant = $variant),+ });
    };
}
pub(crate) use coded;

/// An enum field that must be set.
pub(crate) fn code<C: Coded>(number: i32, field: &str) -> Result<C, Violation> {
    let refused = || match number {
        0 => Violation::required(),
        _ => Violation::new(format!("{number} is not a value that this version knows")),
    };
    C::from_code(number).ok_or_else(refused).at(field)
}

/// An enum field that may be left unset.
pub(crate) fn optional_code<C: Coded>(number: i32, field: &str) -> Result<Option<C>, Violation> {
    if number == 0 { Ok(None) } else { code(number, field).map(Some) }
}

/// The number of an enum value that may be missing.
pub(crate) fn to_code<C: Coded>(value: Option<C>) -> i32 {
    value.map_or(0, Coded::code)
}

/// A message field that must be set.
pub(crate) fn required<T: Wire>(pb: Option<T::Pb>, field: &str) -> Result<T, Violation> {
    pb.ok_or_else(Violation::required).and_then(T::from_pb).at(field)
}

/// A message field that may be left unset.
pub(crate) fn optional<T: Wire>(pb: Option<T::Pb>, field: &str) -> Result<Option<T>, Violation> {
    pb.map(T::from_pb).transpose().at(field)
}

/// A list of messages.
pub(crate) fn list<T: Wire>(pbs: Vec<T::Pb>, field: &str) -> Result<Vec<T>, Violation> {
    collect(pbs, field, T::from_pb)
}

/// A list whose items are converted one by one.
pub(crate) fn collect<P, T>(
    items: Vec<P>,
    field: &str,
    each: impl Fn(P) -> Result<T, Violation>,
) -> Result<Vec<T>, Violation> {
    items
        .into_iter()
        .enumerate()
        .map(|(index, item)| each(item).at_index(index))
        .collect::<Result<_, _>>()
        .at(field)
}

/// The forms of a list.
pub(crate) fn to_list<T: Wire>(values: &[T]) -> Vec<T::Pb> {
    values.iter().map(T::to_pb).collect()
}

/// The form of a value that may be missing.
pub(crate) fn to_optional<T: Wire>(value: Option<&T>) -> Option<T::Pb> {
    value.map(T::to_pb)
}

/// A text field with a grammar of its own.
pub(crate) fn parsed<T>(text: &str) -> Result<T, Violation>
where
    T: FromStr,
    T::Err: Display,
{
    if text.is_empty() {
        return Err(Violation::required());
    }
    text.parse().map_err(|error: T::Err| Violation::new(error.to_string()))
}

/// A text field with a grammar of its own that may be empty.
pub(crate) fn optional_parsed<T>(text: &str, field: &str) -> Result<Option<T>, Violation>
where
    T: FromStr,
    T::Err: Display,
{
    if text.is_empty() { Ok(None) } else { parsed(text).map(Some).at(field) }
}

/// A field that holds an id.
pub(crate) fn id<T>(text: String) -> Result<T, Violation>
where
    T: TryFrom<String, Error = IdError>,
{
    if text.is_empty() {
        return Err(Violation::required());
    }
    T::try_from(text).map_err(|error| Violation::new(error.to_string()))
}

/// A field that holds an id or is empty.
pub(crate) fn optional_id<T>(text: String, field: &str) -> Result<Option<T>, Violation>
where
    T: TryFrom<String, Error = IdError>,
{
    if text.is_empty() { Ok(None) } else { id(text).map(Some).at(field) }
}

/// The text of a value that may be missing.
pub(crate) fn to_text<T: Display>(value: Option<&T>) -> String {
    value.map(ToString::to_string).unwrap_or_default()
}

/// A text for people that must say something.
pub(crate) fn words(text: String, field: &str) -> Result<String, Violation> {
    if text.trim().is_empty() { Err(Violation::required().at(field)) } else { Ok(text) }
}

/// A text for people that may be missing.
pub(crate) fn optional_words(text: String) -> Option<String> {
    (!text.is_empty()).then_some(text)
}

/// Refuses a list whose order means nothing unless it is sorted and names each once.
pub(crate) fn sorted<K: Ord + Display>(keys: &[K], field: &str) -> Result<(), Violation> {
    let out_of_order = keys.windows(2).enumerate().find(|(_, pair)| pair[0] >= pair[1]);
    out_of_order.map_or(Ok(()), |(index, pair)| {
        let reason = if pair[0] == pair[1] {
            format!("`{}` is there twice", pair[1])
        } else {
            format!("`{}` must stand before `{}`", pair[1], pair[0])
        };
        Err(Violation::new(reason).at_index(index + 1).at(field))
    })
}

/// Refuses a list in the author's order that names something twice.
pub(crate) fn distinct<K: Ord + Display>(keys: &[K], field: &str) -> Result<(), Violation> {
    let mut seen = std::collections::BTreeSet::new();
    let twice = keys.iter().enumerate().find(|(_, key)| !seen.insert(*key));
    twice.map_or(Ok(()), |(index, key)| {
        Err(Violation::new(format!("`{key}` is there twice")).at_index(index).at(field))
    })
}
