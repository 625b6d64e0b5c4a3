//! Shapes: what a line takes by its sizes, and what is cut from a sheet.

use std::fmt;
use std::num::NonZeroU32;

use chablon_quantity::{Authored, CountUnit, Exact, Length, LengthUnit, MassUnit, ShareUnit};

use crate::ingredient::named;

/// A length as its author wrote it.
type Size = Authored<LengthUnit>;

/// A flat piece, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outline {
    /// A disc.
    Disc {
        /// Across.
        diameter: Size,
    },
    /// A disc with a round hole in its middle.
    Ring {
        /// Across the disc.
        outer: Size,
        /// Across the hole.
        inner: Size,
    },
    /// A rectangle: a sheet, a strip, a square.
    Rectangle {
        /// The one side.
        length: Size,
        /// The other.
        width: Size,
    },
    /// The strip that lines a round frame once, without an overlap.
    StripAround {
        /// Across the inside of the frame.
        diameter: Size,
        /// How high the strip stands.
        height: Size,
    },
}

/// A mould, by the sizes of its inside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mould {
    /// A round frame with upright walls.
    Cylinder {
        /// Across.
        diameter: Size,
        /// How high.
        height: Size,
    },
    /// What is between two round walls.
    Ring {
        /// Across the outer wall.
        outer: Size,
        /// Across the inner wall.
        inner: Size,
        /// How high.
        height: Size,
    },
    /// A rectangular frame with upright walls.
    Frame {
        /// The one side.
        length: Size,
        /// The other.
        width: Size,
        /// How high.
        height: Size,
    },
    /// A half sphere.
    HalfSphere {
        /// Across the rim.
        diameter: Size,
    },
    /// A cone cut level.
    ConeFrustum {
        /// Across the top.
        top: Size,
        /// Across the bottom.
        bottom: Size,
        /// How high.
        height: Size,
    },
    /// A tin whose four walls slope.
    Loaf {
        /// The length of the top.
        top_length: Size,
        /// The width of the top.
        top_width: Size,
        /// The length of the bottom.
        bottom_length: Size,
        /// The width of the bottom.
        bottom_width: Size,
        /// How high.
        height: Size,
    },
    /// The half of a cylinder, laid down.
    HalfCylinder {
        /// Across.
        diameter: Size,
        /// How long.
        length: Size,
    },
    /// A tube of half-round section, bent into a ring.
    Savarin {
        /// Across the ring.
        outer: Size,
        /// The width of the tube.
        tube: Size,
    },
}

/// Something with a volume.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A flat piece.
    Flat {
        /// Its outline.
        outline: Outline,
        /// How thick it is.
        thickness: Size,
    },
    /// What a mould holds.
    Fill {
        /// The mould.
        mould: Mould,
        /// The part of its volume that is filled; all of it where unstated.
        share: Option<Authored<ShareUnit>>,
    },
}

/// An amount by shape: the volume of one, so many times.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShapeAmount {
    /// The shape of one.
    pub shape: Shape,
    /// How many; one where unstated.
    pub count: Option<Authored<CountUnit>>,
}

/// What pieces are cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// The one side.
    pub length: Size,
    /// The other.
    pub width: Size,
    /// What is kept free between two pieces; nothing where unstated.
    pub gap: Option<Size>,
    /// What is kept free along all four sides; nothing where unstated.
    pub edge: Option<Size>,
}

named!(
    /// How pieces lie on a sheet.
    SheetLayout {
        /// The way that gives most pieces, in rows where that gives as many.
        Best "best",
        /// Piece beside piece, in a grid.
        Rows "rows",
        /// Every second row moved by half a step, which only round pieces can be.
        Staggered "staggered",
    }
);

/// What one piece of a sheet weighs, or what follows from how thick it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PieceSize {
    /// Its net mass.
    Mass(Authored<MassUnit>),
    /// How thick it is when it is finished, which gives its mass by the recipe's density.
    Thickness(Size),
}

/// Pieces cut from sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetYield {
    /// One sheet.
    pub sheet: Sheet,
    /// One piece.
    pub piece: Outline,
    /// How the pieces lie.
    pub layout: SheetLayout,
    /// How many sheets one written batch makes.
    pub sheets: NonZeroU32,
    /// What a piece weighs; what the losses leave where unstated.
    pub each: Option<PieceSize>,
}

/// Why sizes that are all above 0 can't be together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ShapeFlaw {
    /// A hole that reaches the rim.
    #[error("a hole must be smaller than the ring around it")]
    HoleTooLarge,
    /// A tube that doesn't bend into its ring.
    #[error("the tube of a ring can be half as wide as the ring at the most")]
    TubeTooThick,
    /// Edges as wide as the sheet.
    #[error("the edges leave nothing of the sheet")]
    AllEdge,
    /// A piece larger than what the edges leave of the sheet.
    #[error("not even one piece fits on the sheet")]
    DoesNotFit,
    /// Rectangles that should lie staggered.
    #[error("only discs and rings can lie staggered")]
    NotStaggered,
}

/// The sizes of a shape by the keys of a book. The first key says which shape it is.
pub type Sizes = Vec<(&'static str, Vec<Size>)>;

impl Outline {
    /// The sizes by the keys of a book.
    pub fn sizes(&self) -> Sizes {
        match *self {
            Self::Disc { diameter } => vec![("disc", vec![diameter])],
            Self::Ring { outer, inner } => vec![("ring", vec![outer, inner])],
            Self::Rectangle { length, width } => vec![("rectangle", vec![length, width])],
            Self::StripAround { diameter, height } => {
                vec![("strip_around", vec![diameter]), ("height", vec![height])]
            }
        }
    }

    /// What keeps its sizes from being together.
    pub fn flaw(&self) -> Option<ShapeFlaw> {
        match self {
            Self::Ring { outer, inner } => hole(outer, inner),
            _ => None,
        }
    }

    /// The two sides of the rectangle that it needs on a sheet. Of a strip around a frame the
    /// length isn't told here, since that takes pi.
    fn extent(&self) -> (Length, Length) {
        match self {
            Self::Disc { diameter } | Self::Ring { outer: diameter, .. } => {
                (diameter.quantity(), diameter.quantity())
            }
            Self::Rectangle { length, width } => (length.quantity(), width.quantity()),
            Self::StripAround { diameter, height } => (diameter.quantity(), height.quantity()),
        }
    }

    fn is_round(&self) -> bool {
        matches!(self, Self::Disc { .. } | Self::Ring { .. })
    }
}

impl Mould {
    /// The sizes by the keys of a book.
    pub fn sizes(&self) -> Sizes {
        match *self {
            Self::Cylinder { diameter, height } => {
                vec![("cylinder", vec![diameter]), ("height", vec![height])]
            }
            Self::Ring { outer, inner, height } => {
                vec![("ring", vec![outer, inner]), ("height", vec![height])]
            }
            Self::Frame { length, width, height } => {
                vec![("frame", vec![length, width]), ("height", vec![height])]
            }
            Self::HalfSphere { diameter } => vec![("half_sphere", vec![diameter])],
            Self::ConeFrustum { top, bottom, height } => {
                vec![("cone_frustum", vec![top, bottom]), ("height", vec![height])]
            }
            Self::Loaf { top_length, top_width, bottom_length, bottom_width, height } => vec![
                ("loaf", vec![top_length, top_width]),
                ("bottom", vec![bottom_length, bottom_width]),
                ("height", vec![height]),
            ],
            Self::HalfCylinder { diameter, length } => {
                vec![("half_cylinder", vec![diameter]), ("length", vec![length])]
            }
            Self::Savarin { outer, tube } => vec![("savarin", vec![outer]), ("tube", vec![tube])],
        }
    }

    /// What keeps its sizes from being together.
    pub fn flaw(&self) -> Option<ShapeFlaw> {
        match self {
            Self::Ring { outer, inner, .. } => hole(outer, inner),
            Self::Savarin { outer, tube } => {
                let half = outer.quantity() / Exact::from(2);
                (tube.quantity() > half).then_some(ShapeFlaw::TubeTooThick)
            }
            _ => None,
        }
    }
}

fn hole(outer: &Size, inner: &Size) -> Option<ShapeFlaw> {
    (inner.quantity() >= outer.quantity()).then_some(ShapeFlaw::HoleTooLarge)
}

impl SheetYield {
    /// What keeps its sizes from being together, as far as that can be told without pi.
    pub fn flaw(&self) -> Option<ShapeFlaw> {
        if let Some(flaw) = self.piece.flaw() {
            return Some(flaw);
        }
        if self.layout == SheetLayout::Staggered && !self.piece.is_round() {
            return Some(ShapeFlaw::NotStaggered);
        }
        let Some((length, width)) = self.sheet.room() else { return Some(ShapeFlaw::AllEdge) };
        let (long, wide) = self.piece.extent();
        let as_it_lies = long <= length && wide <= width;
        let turned = long <= width && wide <= length;
        (!as_it_lies && !turned).then_some(ShapeFlaw::DoesNotFit)
    }
}

impl Sheet {
    /// What keeps its sizes from being together.
    pub fn flaw(&self) -> Option<ShapeFlaw> {
        self.room().is_none().then_some(ShapeFlaw::AllEdge)
    }

    /// The sides of what the edges leave, if they leave something.
    fn room(&self) -> Option<(Length, Length)> {
        let (length, width) = (self.length.quantity(), self.width.quantity());
        let Some(edge) = self.edge.as_ref().map(Size::quantity) else {
            return Some((length, width));
        };
        let both = edge.clone() + edge;
        (length > both && width > both).then(|| (length - both.clone(), width - both))
    }
}

impl fmt::Display for Outline {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Disc { diameter } => write!(f, "a disc of {diameter}"),
            Self::Ring { outer, inner } => write!(f, "a ring of {outer} round {inner}"),
            Self::Rectangle { length, width } => write!(f, "a rectangle of {length} x {width}"),
            Self::StripAround { diameter, height } => {
                write!(f, "a strip round {diameter}, {height} high")
            }
        }
    }
}

impl fmt::Display for Mould {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Cylinder { diameter, height } => {
                write!(f, "a cylinder of {diameter}, {height} high")
            }
            Self::Ring { outer, inner, height } => {
                write!(f, "a ring of {outer} round {inner}, {height} high")
            }
            Self::Frame { length, width, height } => {
                write!(f, "a frame of {length} x {width}, {height} high")
            }
            Self::HalfSphere { diameter } => write!(f, "a half sphere of {diameter}"),
            Self::ConeFrustum { top, bottom, height } => {
                write!(f, "a cone cut level, {top} at the top, {bottom} below, {height} high")
            }
            Self::Loaf { top_length, top_width, bottom_length, bottom_width, height } => write!(
                f,
                "a loaf tin of {top_length} x {top_width} at the top, {bottom_length} x \
                 {bottom_width} below, {height} high"
            ),
            Self::HalfCylinder { diameter, length } => {
                write!(f, "a half cylinder of {diameter}, {length} long")
            }
            Self::Savarin { outer, tube } => {
                write!(f, "a savarin mould of {outer} with a tube of {tube}")
            }
        }
    }
}

impl fmt::Display for Shape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Flat { outline, thickness } => write!(f, "{outline}, {thickness} thick"),
            Self::Fill { mould, share: None } => write!(f, "{mould}, filled"),
            Self::Fill { mould, share: Some(share) } => write!(f, "{mould}, filled to {share}"),
        }
    }
}

impl fmt::Display for ShapeAmount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.count {
            None => self.shape.fmt(f),
            Some(count) => write!(f, "{count}, each {}", self.shape),
        }
    }
}

impl fmt::Display for SheetYield {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Sheet { length, width, .. } = self.sheet;
        write!(f, "{} from {} x {length} x {width}", self.piece, self.sheets)?;
        match self.each {
            None => Ok(()),
            Some(PieceSize::Mass(mass)) => write!(f, ", {mass} each"),
            Some(PieceSize::Thickness(thickness)) => write!(f, ", {thickness} thick"),
        }
    }
}
