//! Why a shape has no figure.

/// Why a shape, a layout or an oven plan has no figure.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum GeometryError {
    /// A size that must be above 0 isn't.
    #[error("the {what} is {value}; it must be above 0")]
    NotAboveZero {
        /// Which size.
        what: &'static str,
        /// What it is, for people.
        value: String,
    },
    /// A gap or an edge is below 0.
    #[error("the {what} is {value}; it can be 0 but not below")]
    BelowZero {
        /// Which size.
        what: &'static str,
        /// What it is, for people.
        value: String,
    },
    /// A ring's hole reaches its rim.
    #[error(
        "a ring of {outer} can't have a hole of {inner}; the inner diameter must be the smaller"
    )]
    HoleTooLarge {
        /// The outer diameter.
        outer: String,
        /// The inner diameter.
        inner: String,
    },
    /// A ring's tube is thicker than half of the ring.
    #[error(
        "a tube of {tube} doesn't bend into a ring of {outer}; it can be {most} at the most, half \
         of the outer diameter"
    )]
    TubeTooThick {
        /// The width of the tube.
        tube: String,
        /// The outer diameter of the ring.
        outer: String,
        /// Half of it.
        most: String,
    },
    /// A mould is filled to nothing, or above its rim.
    #[error("a mould can't be filled to {share}; a fill is above 0 % and at most 100 %")]
    Fill {
        /// What was asked for.
        share: String,
    },
    /// The edges leave nothing of the sheet.
    #[error("an edge of {edge} all round leaves nothing of a sheet of {sheet}")]
    AllEdge {
        /// What is left free on every side.
        edge: String,
        /// The sheet.
        sheet: String,
    },
    /// Not even one piece fits.
    #[error(
        "{piece} doesn't fit on {room}; take a larger sheet, a smaller edge or a smaller piece"
    )]
    DoesNotFit {
        /// The piece.
        piece: String,
        /// What is there for it.
        room: String,
    },
    /// A piece with corners should lie staggered.
    #[error("{piece} can't lie staggered; only discs and rings can")]
    NotStaggered {
        /// The piece.
        piece: String,
    },
    /// A count is beyond what can be counted.
    #[error("more than {limit} {what}; check the sizes and their units")]
    TooMany {
        /// What is counted.
        what: &'static str,
        /// The largest count.
        limit: u64,
    },
    /// A tray takes nothing, or an oven takes no tray.
    #[error("{what} is 0, so nothing can be baked; it must be at least 1")]
    NoRoom {
        /// Which count.
        what: &'static str,
    },
}
