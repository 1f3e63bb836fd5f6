//! Aerodynamics as tables: each coefficient a sum of tables over one to three variables, each table perhaps times a product
//! of variables (a derivative that changes with incidence, times its control). Between the knots linear, beyond them held.

use base::numerics::grid::{Axis, Grid, GridError, Outside, ROW, Spot, Stack};

use super::polynomial::{Coefficient, FACTORS_MAX, Frame, Parts, Product, Six, Writing};
use super::variables::{Asked, VALUES, Values, cause};
use super::{Aerodynamics, Domain, Reference, Variable};
use crate::budget::{Budget, Cause, Wrench};
use crate::controls::Surfaces;
use crate::flow::Flow;
use crate::propulsion::Wash;

/// Most axes of a table.
pub const AXES_MAX: usize = 3;

/// One axis of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct TableAxis {
    /// What it is over.
    pub over: Variable,
    /// Counts of the table in one of the variable: for degrees, and for signs of the source.
    pub scale: f64,
    /// Knots, as the table counts them.
    pub knots: Vec<f64>,
}

/// One table as written.
#[derive(Debug, Clone, PartialEq)]
pub struct TableFigures {
    /// Which coefficient it is part of.
    pub of: Coefficient,
    /// One to [`AXES_MAX`] axes.
    pub axes: Vec<TableAxis>,
    /// Values, last axis fastest.
    pub values: Vec<f64>,
    /// Factor from the source's sign to ours.
    pub number: f64,
    /// Variables it is multiplied by; at most [`FACTORS_MAX`].
    pub times: Vec<Variable>,
}

/// What is wrong with a table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TableError {
    /// Too few or too many axes.
    #[error("a table has 1 to {AXES_MAX} axes, not {0}")]
    Axes(usize),
    /// Too many factors.
    #[error("a table is multiplied by at most {FACTORS_MAX} variables, not {0}")]
    Factors(usize),
    /// Knots or values.
    #[error(transparent)]
    Grid(#[from] GridError),
}

/// Tables over the same axes, found at one place.
#[derive(Debug, Clone, PartialEq)]
enum LookUp {
    One(Both<1>),
    Two(Both<2>),
    Three(Both<3>),
}

/// Coefficients in the plane of symmetry and those across it, over the same axes.
#[derive(Debug, Clone, PartialEq)]
struct Both<const N: usize> {
    axes: [ReadyAxis; N],
    /// The rows of the first half, then those of the second.
    tables: Stack<N>,
    /// What each row of a half is multiplied by; numbers are in the values already.
    products: [Vec<Product>; 2],
    /// Whether that is two variables at most everywhere.
    few: bool,
    /// What each is due to.
    causes: [Vec<Cause>; 2],
}

impl LookUp {
    fn new(rows: &[Alike<'_>]) -> Result<Self, (usize, TableError)> {
        Ok(match rows[0].axes.len() {
            1 => Self::One(Both::new(rows)?),
            2 => Self::Two(Both::new(rows)?),
            3 => Self::Three(Both::new(rows)?),
            n => return Err((rows[0].first(), TableError::Axes(n))),
        })
    }
}

impl<const N: usize> Both<N> {
    fn new(rows: &[Alike<'_>]) -> Result<Self, (usize, TableError)> {
        let (mut products, mut causes) = ([Vec::new(), Vec::new()], [Vec::new(), Vec::new()]);
        let mut tables = Vec::new();
        for half in 0..2 {
            let has = |row: &&Alike<'_>| row.tables[half].iter().any(Option::is_some);
            for row in rows.iter().filter(has) {
                let product = Product::new(1.0, row.times)
                    .ok_or((row.first(), TableError::Factors(row.times.len())))?;
                products[half].push(product);
                let over = row.axes.iter().map(|axis| axis.over);
                causes[half].push(cause(over.chain(row.times.iter().copied())));
                tables.push(grids(row, half)?);
            }
        }
        // After the grids, which tell which axis is at fault.
        let axes: Result<Vec<ReadyAxis>, GridError> =
            rows[0].axes.iter().map(ReadyAxis::new).collect();
        let axes = axes.map_err(|error| (rows[0].first(), error.into()))?;
        Ok(Self {
            axes: axes.try_into().expect("as many axes as the rows have"),
            tables: Stack::new(&tables).expect("rows over the same axes, none empty"),
            products,
            few: rows.iter().all(|row| row.times.len() <= 2),
            causes,
        })
    }
    #[inline(always)]
    fn whole(&self, values: &Values) -> Six {
        let spots = self.spots(values);
        if self.few {
            return Six(self.tables.sums(&spots, &self.products, |one| one.of_two(values)));
        }
        Six(self.tables.sums(&spots, &self.products, |one| one.value(values)))
    }
    #[inline(always)]
    fn spots(&self, values: &Values) -> [Spot; N] {
        let mut spots = [Spot { index: 0, share: 0.0 }; N];
        for (spot, axis) in spots.iter_mut().zip(&self.axes) {
            *spot = axis.spot(values);
        }
        spots
    }
    fn each(&self, values: &Values, give: &mut impl FnMut(Cause, Six)) {
        let mut rows = self.tables.at_spots(self.spots(values));
        for (half, (products, causes)) in self.products.iter().zip(&self.causes).enumerate() {
            for ((product, &cause), row) in products.iter().zip(causes).zip(rows.by_ref()) {
                let mut six = Six::NIL;
                six.0[half] = row * product.value(values);
                give(cause, six);
            }
        }
    }
}

/// Grids of one half of a row, or the index of a table that is none. A coefficient without a table has one of nil.
fn grids<const N: usize>(
    row: &Alike<'_>,
    half: usize,
) -> Result<[Grid<N>; ROW], (usize, TableError)> {
    let knots = || std::array::from_fn(|n| row.axes[n].knots.clone());
    let size = row.axes.iter().map(|axis| axis.knots.len()).product();
    let grid = |table: Option<(usize, &TableFigures)>| {
        let scaled = |one: &TableFigures| one.values.iter().map(|x| x * row.number).collect();
        let values = table.map_or_else(|| vec![0.0; size], |(_, one)| scaled(one));
        let index = table.map_or(row.first(), |(index, _)| index);
        Grid::new(knots(), values, HELD).map_err(|error| (index, error.into()))
    };
    let [a, b, c] = row.tables[half];
    Ok([grid(a)?, grid(b)?, grid(c)?])
}

/// Tables over the same axes, times the same, each of another coefficient; with their places among all.
struct Alike<'a> {
    axes: &'a [TableAxis],
    number: f64,
    times: &'a [Variable],
    /// By half and place there: see [`Six`].
    tables: [[Option<(usize, &'a TableFigures)>; ROW]; 2],
}

impl<'a> Alike<'a> {
    const fn new(figures: &'a TableFigures) -> Self {
        let TableFigures { axes, number, times, .. } = figures;
        Self {
            axes: axes.as_slice(),
            number: *number,
            times: times.as_slice(),
            tables: [[None; ROW]; 2],
        }
    }
    fn takes(&self, figures: &TableFigures) -> bool {
        let alike = self.axes == figures.axes
            && self.number.to_bits() == figures.number.to_bits()
            && self.times == figures.times;
        let (half, place) = figures.of.place();
        alike && self.tables[half][place].is_none()
    }
    /// Place of its first table.
    fn first(&self) -> usize {
        self.tables.iter().flatten().flatten().map(|(index, _)| *index).min().unwrap_or_default()
    }
}

/// Rows of all tables.
fn rows(figures: &[TableFigures]) -> Vec<Alike<'_>> {
    let mut rows: Vec<Alike<'_>> = Vec::new();
    for (index, one) in figures.iter().enumerate() {
        let known = rows.iter().position(|row| row.takes(one)).unwrap_or_else(|| {
            rows.push(Alike::new(one));
            rows.len() - 1
        });
        let (half, place) = one.of.place();
        rows[known].tables[half][place] = Some((index, one));
    }
    rows
}

/// Beyond the knots.
const HELD: Outside = Outside::Held;

/// A variable as tables count it, with the knots.
#[derive(Debug, Clone, PartialEq)]
struct ReadyAxis {
    slot: u8,
    scale: f64,
    axis: Axis,
}

impl ReadyAxis {
    fn new(figures: &TableAxis) -> Result<Self, GridError> {
        let (slot, scale) = (figures.over.slot(), figures.scale);
        Ok(Self { slot, scale, axis: Axis::new(figures.knots.clone(), 0)? })
    }
    #[inline(always)]
    fn spot(&self, values: &Values) -> Spot {
        self.axis.locate(values[self.slot as usize % VALUES] * self.scale, HELD)
    }
}

/// Tabulated aerodynamics.
#[derive(Debug, Clone, PartialEq)]
pub struct Tables {
    frame: Frame,
    asked: Asked,
    look_ups: Vec<LookUp>,
}

impl Tables {
    /// From tables. They are sorted by axes and factors: the work is quadratic in their number.
    ///
    /// # Errors
    /// The index of a table that is not one, with what is wrong.
    pub fn new(frame: Frame, figures: &[TableFigures]) -> Result<Self, (usize, TableError)> {
        let used = |one: &TableFigures| -> Vec<Variable> {
            one.axes.iter().map(|axis| axis.over).chain(one.times.iter().copied()).collect()
        };
        let variables: Vec<_> = figures.iter().flat_map(used).collect();
        let asked = Asked::of(variables.iter());
        let mut rows = rows(figures);
        let mut known = Vec::new();
        rows.sort_by_cached_key(|row| place_of(row.axes, &mut known));
        let alike = rows.chunk_by(|a, b| a.axes == b.axes);
        let look_ups = alike.map(LookUp::new).collect::<Result<_, _>>()?;
        Ok(Self { frame, asked, look_ups })
    }
}

/// Index of one among those known, added when it is not.
fn place_of<T: PartialEq>(one: T, known: &mut Vec<T>) -> usize {
    known.iter().position(|other| *other == one).unwrap_or_else(|| {
        known.push(one);
        known.len() - 1
    })
}

/// All tables at an instant: with the values of the variables.
struct Reading<'a> {
    look_ups: &'a [LookUp],
    values: &'a Values,
}

impl Parts for Reading<'_> {
    #[inline(always)]
    fn whole(&self) -> Six {
        let mut whole = Six::NIL;
        for look_up in self.look_ups {
            whole.add(match look_up {
                LookUp::One(both) => both.whole(self.values),
                LookUp::Two(both) => both.whole(self.values),
                LookUp::Three(both) => both.whole(self.values),
            });
        }
        whole
    }
    #[inline(never)] // shares are asked for now and then, the whole in every step
    fn each(&self, mut give: impl FnMut(Cause, Six)) {
        for look_up in self.look_ups {
            match look_up {
                LookUp::One(both) => both.each(self.values, &mut give),
                LookUp::Two(both) => both.each(self.values, &mut give),
                LookUp::Three(both) => both.each(self.values, &mut give),
            }
        }
    }
}

impl Aerodynamics for Tables {
    fn add(&self, flow: &Flow, surfaces: &Surfaces, wash: &Wash, budget: &mut Budget) {
        let frame = &self.frame;
        let values = self.asked.values(&frame.lengths, flow, surfaces, wash);
        let parts = Reading { look_ups: &self.look_ups, values: &values };
        budget.write(&Writing { frame, flow, parts });
        budget.keep_incidence_rate(frame.incidence_rate(flow));
    }
    fn incidence_rate(&self, flow: &Flow) -> Wrench {
        self.frame.incidence_rate(flow).wrench()
    }
    fn reference(&self) -> Reference {
        self.frame.reference
    }
    fn domain(&self) -> Domain {
        self.frame.domain
    }
}
