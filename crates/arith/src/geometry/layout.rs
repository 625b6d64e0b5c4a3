//! How many pieces a sheet gives, and how they lie.

use std::fmt;

use chablon_quantity::{Exact, Length, Millimetres, Share};

use super::outline::{self, Form};
use super::{GeometryError, Outline, half_root_three, shown, size};

/// A rectangular sheet, a tray or a table: what pieces are cut from or lie on.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    length: Length,
    width: Length,
}

/// The room that is kept free.
#[derive(Clone, Debug, PartialEq)]
pub struct Spacing {
    gap: Length,
    edge: Length,
}

impl Spacing {
    /// This gap between neighbours, and none to the edge of the sheet.
    pub fn gap(gap: Length) -> Result<Self, GeometryError> {
        let edge = Length::of_millimetres(0);
        Ok(Self { gap: size::gap("gap", gap)?, edge })
    }

    /// The same gap, with this much kept free along all four sides of the sheet.
    pub fn with_edge(self, edge: Length) -> Result<Self, GeometryError> {
        Ok(Self { edge: size::gap("edge", edge)?, ..self })
    }
}

/// The side of the sheet that the rows run along. A rectangular piece lies with its own length
/// along the row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// The sheet's length.
    Length,
    /// The sheet's width.
    Width,
}

/// How one row lies to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pattern {
    /// Piece beside piece, in a grid.
    Rows,
    /// Every second row is moved by half a step, so that discs lie in the hollows of the row
    /// before; the rows are sqrt(3)/2 of a step apart.
    Staggered {
        /// The pieces in each moved row: the second, the fourth and so on.
        per_offset_row: u64,
    },
}

/// One way of laying pieces on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// How the rows lie to each other.
    pub pattern: Pattern,
    /// The side that the rows run along.
    pub along: Along,
    /// The rows.
    pub rows: u64,
    /// The pieces in the first row, and in every other that isn't moved.
    pub per_row: u64,
    /// All pieces.
    pub pieces: u64,
    /// The part of the whole sheet, edges included, that is in no piece.
    pub offcut: Share,
}

/// Every layout that was tried and holds at least one piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fit {
    layouts: Vec<Layout>,
}

impl Fit {
    /// All layouts: in rows before staggered, along the length before along the width.
    pub fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    /// The layout with the most pieces; of equals the first of [`Fit::layouts`], which is the
    /// plainest.
    ///
    /// It is the best of the layouts tried, each of one pattern throughout. A layout of mixed
    /// patterns may hold a piece more.
    pub fn best(&self) -> &Layout {
        best(self.layouts.iter()).expect("a fit holds a layout")
    }

    /// The best of the layouts in plain rows.
    pub fn best_in_rows(&self) -> &Layout {
        let rows = self.layouts.iter().filter(|layout| layout.pattern == Pattern::Rows);
        best(rows).expect("where anything fits, it fits in rows")
    }

    /// The best of the staggered layouts, which only discs and rings have.
    pub fn best_staggered(&self) -> Option<&Layout> {
        best(self.layouts.iter().filter(|layout| layout.pattern != Pattern::Rows))
    }
}

fn best<'a>(layouts: impl Iterator<Item = &'a Layout>) -> Option<&'a Layout> {
    layouts.reduce(|best, next| if next.pieces > best.pieces { next } else { best })
}

impl Sheet {
    /// A sheet by its sides.
    pub fn new(length: Length, width: Length) -> Result<Self, GeometryError> {
        let length = size::length("sheet's length", length)?;
        Ok(Self { length, width: size::length("sheet's width", width)? })
    }

    /// How many pieces it gives, by every layout: for a disc or a ring in rows and staggered,
    /// the rows along either side; for a rectangle in rows, lengthwise and turned.
    ///
    /// n pieces of size d in a row with gaps g need n d + (n - 1) g, so a side of length L takes
    /// floor((L + g) / (d + g)). What is cut out of a ring is offcut too.
    pub fn fit(&self, piece: &Outline, spacing: &Spacing) -> Result<Fit, GeometryError> {
        let room = self.within(&spacing.edge)?;
        let gap = &spacing.gap;
        let counted = match piece.form() {
            Form::Disc { diameter } | Form::Ring { outer: diameter, .. } => {
                room.discs(diameter, gap)
            }
            Form::Rectangle { length, width } => room.rectangles(length, width, gap),
        };
        let mut layouts = Vec::new();
        for count in counted.iter().filter(|count| count.pieces() > Exact::from(0)) {
            layouts.push(self.layout(count, piece)?);
        }
        if layouts.is_empty() {
            let (piece, room) = (piece.to_string(), room.to_string());
            return Err(GeometryError::DoesNotFit { piece, room });
        }
        Ok(Fit { layouts })
    }

    fn within(&self, edge: &Length) -> Result<Self, GeometryError> {
        let both = edge.clone() + edge.clone();
        if self.length <= both || self.width <= both {
            let (edge, sheet) = (shown::length(edge), self.to_string());
            return Err(GeometryError::AllEdge { edge, sheet });
        }
        let (length, width) = (self.length.clone() - both.clone(), self.width.clone() - both);
        Ok(Self { length, width })
    }

    fn sides(&self, along: Along) -> (&Length, &Length) {
        match along {
            Along::Length => (&self.length, &self.width),
            Along::Width => (&self.width, &self.length),
        }
    }

    fn discs(&self, diameter: &Length, gap: &Length) -> Vec<Count> {
        vec![
            self.rows(Along::Length, (diameter, diameter), gap),
            self.staggered(Along::Length, diameter, gap),
            self.staggered(Along::Width, diameter, gap),
        ]
    }

    fn rectangles(&self, length: &Length, width: &Length, gap: &Length) -> Vec<Count> {
        let piece = (length, width);
        vec![self.rows(Along::Length, piece, gap), self.rows(Along::Width, piece, gap)]
    }

    fn rows(&self, along: Along, piece: (&Length, &Length), gap: &Length) -> Count {
        let (side, across) = self.sides(along);
        let (per_row, rows) = (in_a_row(side, piece.0, gap), in_a_row(across, piece.1, gap));
        Count { along, rows, per_row, per_offset_row: None }
    }

    /// The moved rows begin half a step in. The rows are a step x sqrt(3)/2 apart, at which a
    /// disc is exactly one gap away from both of its neighbours in the row before.
    fn staggered(&self, along: Along, diameter: &Length, gap: &Length) -> Count {
        let (side, across) = self.sides(along);
        let step = diameter.clone() + gap.clone();
        let moved = side.clone() - step.clone() / Exact::from(2);
        // Rows of discs d high that begin p apart need (n - 1) p + d: a gap of p - d, below 0.
        let between = step * half_root_three() - diameter.clone();
        let rows = in_a_row(across, diameter, &between);
        let per_row = in_a_row(side, diameter, gap);
        Count { along, rows, per_row, per_offset_row: Some(in_a_row(&moved, diameter, gap)) }
    }

    fn layout(&self, count: &Count, piece: &Outline) -> Result<Layout, GeometryError> {
        let (all, sheet) = (count.pieces(), self.length.clone() * self.width.clone());
        let used = all.clone() * piece.area().value / sheet.value;
        let pattern = match &count.per_offset_row {
            None => Pattern::Rows,
            Some(moved) => Pattern::Staggered { per_offset_row: counted(moved)? },
        };
        Ok(Layout {
            pattern,
            along: count.along,
            rows: counted(&count.rows)?,
            per_row: counted(&count.per_row)?,
            pieces: counted(&all)?,
            offcut: Share(Exact::from(1) - used),
        })
    }
}

impl fmt::Display for Sheet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&outline::rectangle(&self.length, &self.width))
    }
}

/// A layout before it is known to fit into a count.
struct Count {
    along: Along,
    rows: Exact,
    per_row: Exact,
    per_offset_row: Option<Exact>,
}

impl Count {
    fn pieces(&self) -> Exact {
        let Some(moved) = &self.per_offset_row else {
            return &self.rows * &self.per_row;
        };
        let half = &self.rows / Exact::from(2);
        half.ceil() * &self.per_row + half.floor() * moved
    }
}

/// How many pieces of a size fit a side, a gap apart.
fn in_a_row(side: &Length, piece: &Length, gap: &Length) -> Exact {
    if piece > side {
        return Exact::from(0);
    }
    ((side.clone() + gap.clone()).value / (piece.clone() + gap.clone()).value).floor()
}

fn counted(count: &Exact) -> Result<u64, GeometryError> {
    count.to_u64().ok_or(GeometryError::TooMany { what: "pieces on a sheet", limit: u64::MAX })
}
