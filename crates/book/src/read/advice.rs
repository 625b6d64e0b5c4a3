//! How to write a number that was written in another way.

/// Fractions of one letter and how a book writes them.
const FRACTIONS: [(char, &str); 5] =
    [('½', "1/2"), ('¼', "1/4"), ('¾', "3/4"), ('⅓', "1/3"), ('⅔', "2/3")];

/// How to write the number that a text begins with, where it is known what was meant.
pub(super) fn number_advice(text: &str) -> Option<String> {
    let text = text.trim();
    if let Some((letter, fraction)) = FRACTIONS.iter().find(|(letter, _)| text.contains(*letter)) {
        return Some(format!("write `{letter}` as `{fraction}`"));
    }
    if let Some(pointed) = with_point(text) {
        let joined = text.replace(',', "");
        // A thousandth of what is meant, or a thousand times as much, is not to be guessed at.
        return Some(if perhaps_thousands(text) {
            format!("write `{joined}` if the comma parts the thousands, `{pointed}` if not")
        } else {
            format!("write `{pointed}`, with a decimal point")
        });
    }
    if is_range(text) {
        let advice = "give one number; how far it may be off is the line's `tolerance`, or a \
                      control's `min` and `max`";
        return Some(advice.to_owned());
    }
    if let Some(joined) = without_gaps(text) {
        return Some(format!("write `{joined}`, without a space between the digits"));
    }
    let roughly = text.starts_with(['~', '+', '<', '>', '≈']);
    roughly.then(|| "give the number alone; nothing is taken as roughly so much".to_owned())
}

/// `1,5 kg` as `1.5 kg`.
fn with_point(text: &str) -> Option<String> {
    let (before, after) = text.split_once(',')?;
    let digits = before.ends_with(|c: char| c.is_ascii_digit())
        && after.starts_with(|c: char| c.is_ascii_digit());
    (digits && !after.contains(',')).then(|| format!("{before}.{after}"))
}

/// `1,000 g`: three digits after the comma.
fn perhaps_thousands(text: &str) -> bool {
    let after = text.split_once(',').map_or("", |(_, after)| after);
    after.chars().take_while(char::is_ascii_digit).count() == 3
}

/// `200-300 g`, `200 – 300 g`.
fn is_range(text: &str) -> bool {
    let mut parts = text.splitn(2, ['-', '–']);
    let digit_at_end = parts.next().is_some_and(|part| ends_in_digit(part.trim_end()));
    digit_at_end && parts.next().is_some_and(|part| starts_with_digit(part.trim_start()))
}

/// `1 000 g` as `1000 g`.
fn without_gaps(text: &str) -> Option<String> {
    let (number, unit) = chablon_quantity::split(text);
    let spaced = number.contains(' ') && number.bytes().all(|b| b.is_ascii_digit() || b == b' ');
    spaced.then(|| format!("{} {unit}", number.replace(' ', "")).trim_end().to_owned())
}

fn ends_in_digit(text: &str) -> bool {
    text.ends_with(|c: char| c.is_ascii_digit())
}

fn starts_with_digit(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}
