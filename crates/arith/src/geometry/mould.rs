//! Moulds: what they hold.

use chablon_quantity::{Density, Exact, Length, Mass, Share, Volume};

use super::outline::disc_area;
use super::{GeometryError, Outline, pi, shown, size};

/// A mould, by its inner sizes. It always has a volume above 0.
///
/// Sizes are those of the cavity: measure inside, without the rim.
#[derive(Clone, Debug, PartialEq)]
pub struct Mould {
    volume: Volume,
}

impl Mould {
    /// Straight walls on an outline: a frame, a ring, a cylinder. Area x height.
    pub fn straight(outline: &Outline, height: &Length) -> Result<Self, GeometryError> {
        Ok(Self { volume: outline.area() * size::length("height", height.clone())? })
    }

    /// A cylinder: pi/4 x diameter² x height.
    pub fn cylinder(diameter: Length, height: &Length) -> Result<Self, GeometryError> {
        Self::straight(&Outline::disc(diameter)?, height)
    }

    /// A half sphere: pi/12 x diameter³.
    pub fn half_sphere(diameter: Length) -> Result<Self, GeometryError> {
        let diameter = size::length("diameter", diameter)?;
        Ok(Self { volume: disc_area(&diameter) * diameter / Exact::from(3) })
    }

    /// A cone cut level, such as a muffin cup or a tart ring that opens upwards:
    /// pi/12 x height x (top² + top x bottom + bottom²).
    pub fn cone_frustum(
        top: Length,
        bottom: Length,
        height: Length,
    ) -> Result<Self, GeometryError> {
        let top = size::length("top diameter", top)?;
        let bottom = size::length("bottom diameter", bottom)?;
        let height = size::length("height", height)?;
        let squares = top.clone() * top.clone() + top * bottom.clone() + bottom.clone() * bottom;
        Ok(Self { volume: squares * height * (pi() / Exact::from(12)) })
    }

    /// A loaf tin whose four walls slope, by the rule for a prismatoid:
    /// height/6 x (top area + 4 x middle area + bottom area), where the middle's sides are the
    /// means of those of top and bottom.
    ///
    /// Sides are (length, width). Where both are in proportion the tin is a cut pyramid; the rule
    /// is exact for either.
    pub fn loaf(
        top: (Length, Length),
        bottom: (Length, Length),
        height: Length,
    ) -> Result<Self, GeometryError> {
        let top = (size::length("top length", top.0)?, size::length("top width", top.1)?);
        let bottom =
            (size::length("bottom length", bottom.0)?, size::length("bottom width", bottom.1)?);
        let height = size::length("height", height)?;
        // Four times the middle area: the halves of the two means cancel against the 4.
        let middle = (top.0.clone() + bottom.0.clone()) * (top.1.clone() + bottom.1.clone());
        let areas = top.0 * top.1 + middle + bottom.0 * bottom.1;
        Ok(Self { volume: areas * height / Exact::from(6) })
    }

    /// A log mould, the half of a cylinder laid down: pi/8 x diameter² x length.
    pub fn half_cylinder(diameter: Length, length: Length) -> Result<Self, GeometryError> {
        let diameter = size::length("diameter", diameter)?;
        let length = size::length("length", length)?;
        Ok(Self { volume: disc_area(&diameter) * length / Exact::from(2) })
    }

    /// A savarin mould: a tube of half-round section bent into a ring, half of a torus.
    ///
    /// By Pappus's theorem the section's area travels once round at the middle of the tube:
    /// (pi/8 x tube²) x pi x (outer - tube), where `outer` is the outer diameter of the ring and
    /// `tube` the width of the channel at its rim. The tube is at most half of the outer diameter.
    pub fn savarin(outer: Length, tube: Length) -> Result<Self, GeometryError> {
        let outer = size::length("outer diameter", outer)?;
        let tube = size::length("tube's width", tube)?;
        let most = outer.clone() / Exact::from(2);
        if tube > most {
            let (tube, outer) = (shown::length(&tube), shown::length(&outer));
            return Err(GeometryError::TubeTooThick { tube, outer, most: shown::length(&most) });
        }
        let section = disc_area(&tube) / Exact::from(2);
        Ok(Self { volume: section * ((outer - tube) * pi()) })
    }

    /// What it holds, filled to the rim.
    pub fn volume(&self) -> &Volume {
        &self.volume
    }

    /// What a share of it holds: above 0 % and at most 100 %.
    ///
    /// The share is one of volume; in a mould that opens upwards it isn't one of height.
    pub fn part(&self, share: &Share) -> Result<Volume, GeometryError> {
        if share.0 <= Exact::from(0) || share.0 > Exact::from(1) {
            return Err(GeometryError::Fill { share: shown::percent(&share.0) });
        }
        Ok(self.volume.clone() * share.0.clone())
    }

    /// The mass that fills a share of its volume.
    pub fn fill(&self, share: &Share, density: &Density) -> Result<Mass, GeometryError> {
        Ok(self.part(share)? * size::density(density)?)
    }

    /// The factor by which a recipe for this mould is taken for another: the ratio of volumes.
    pub fn factor_to(&self, other: &Self) -> Exact {
        &other.volume.value / &self.volume.value
    }
}
