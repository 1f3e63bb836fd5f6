//! Aerodynamics as tables: each coefficient a sum of tables over one to three variables, each table perhaps times a product
//! of variables (a derivative that changes with incidence, times its control). Between the knots linear, beyond them held.

use base::numerics::grid::{Axis, Grid, GridError, Outside, ROW, Row, Spot, Stack};

use super::polynomial::{Coefficient, FACTORS_MAX, Frame, Parts, Product, Six, Writing};
use super::variables::{Asked, Values, cause};
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

/// Rows of tables over the same axes.
#[derive(Debug, Clone, PartialEq)]
enum LookUp {
    One(Stack<1>),
    Two(Stack<2>),
    Three(Stack<3>),
}

impl LookUp {
    /// A coefficient without a table has one of nil.
    fn new(rows: &[Alike<'_>]) -> Result<Self, (usize, TableError)> {
        const WHOLE: &str = "all rows are over the same axes";
        Ok(match rows[0].axes.len() {
            1 => Self::One(Stack::new(&grids(rows)?).expect(WHOLE)),
            2 => Self::Two(Stack::new(&grids(rows)?).expect(WHOLE)),
            3 => Self::Three(Stack::new(&grids(rows)?).expect(WHOLE)),
            n => return Err((rows[0].first(), TableError::Axes(n))),
        })
    }
}

/// Grids of all coefficients of rows over the same axes, or the index of a table that is none.
fn grids<const N: usize>(rows: &[Alike<'_>]) -> Result<Vec<[Grid<N>; ROW]>, (usize, TableError)> {
    let knots = || std::array::from_fn(|n| rows[0].axes[n].knots.clone());
    let size = rows[0].axes.iter().map(|axis| axis.knots.len()).product();
    let mut grids = Vec::new();
    for row in rows {
        let mut six = Vec::new();
        for table in row.tables {
            let values = table.map_or_else(|| vec![0.0; size], |(_, one)| one.values.clone());
            let index = table.map_or(row.first(), |(index, _)| index);
            six.push(Grid::new(knots(), values, HELD).map_err(|error| (index, error.into()))?);
        }
        grids.push(six.try_into().expect("six tables in, six grids out"));
    }
    Ok(grids)
}

/// Tables over the same axes, times the same, each of another coefficient; with their places among all.
struct Alike<'a> {
    axes: &'a [TableAxis],
    number: f64,
    times: &'a [Variable],
    tables: [Option<(usize, &'a TableFigures)>; ROW],
}

impl<'a> Alike<'a> {
    const fn new(figures: &'a TableFigures) -> Self {
        let TableFigures { axes, number, times, .. } = figures;
        Self {
            axes: axes.as_slice(),
            number: *number,
            times: times.as_slice(),
            tables: [None; ROW],
        }
    }
    fn takes(&self, figures: &TableFigures) -> bool {
        let alike = self.axes == figures.axes
            && self.number.to_bits() == figures.number.to_bits()
            && self.times == figures.times;
        alike && self.tables[figures.of as usize].is_none()
    }
    /// Place of its first table.
    fn first(&self) -> usize {
        self.tables.iter().flatten().map(|(index, _)| *index).min().unwrap_or_default()
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
        rows[known].tables[one.of as usize] = Some((index, one));
    }
    rows
}

/// Beyond the knots.
const HELD: Outside = Outside::Held;
/// Most axes whose place is found once an instant for all tables that share them; further ones are searched for each stack.
const AXES_SHARED: usize = 8;

/// A variable as tables count it, with the knots.
#[derive(Debug, Clone, PartialEq)]
struct ReadyAxis {
    slot: u8,
    scale: f64,
    axis: Axis,
}

impl ReadyAxis {
    #[inline]
    fn spot(&self, values: &Values) -> Spot {
        self.axis.locate(values[self.slot as usize] * self.scale, HELD)
    }
}

/// A row made ready, but for its values.
#[derive(Debug, Clone, Copy, PartialEq)]
struct ReadyRow {
    cause: Cause,
    product: Product,
}

/// Rows over the same axes, found at one place.
#[derive(Debug, Clone, PartialEq)]
struct ReadyStack {
    look_up: LookUp,
    /// Which of the axes of [`Tables`].
    axes: [usize; AXES_MAX],
    rows: Vec<ReadyRow>,
}

/// Tabulated aerodynamics.
#[derive(Debug, Clone, PartialEq)]
pub struct Tables {
    frame: Frame,
    asked: Asked,
    axes: Vec<ReadyAxis>,
    stacks: Vec<ReadyStack>,
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
        let mut built = Self { frame, asked, axes: Vec::new(), stacks: Vec::new() };
        let mut rows = rows(figures);
        let mut known = Vec::new();
        rows.sort_by_cached_key(|row| place_of(row.axes, &mut known));
        for same in rows.chunk_by(|a, b| a.axes == b.axes) {
            let stack = built.stack(same)?;
            built.stacks.push(stack);
        }
        Ok(built)
    }
    fn stack(&mut self, rows: &[Alike<'_>]) -> Result<ReadyStack, (usize, TableError)> {
        let look_up = LookUp::new(rows)?;
        let ready = |row: &Alike<'_>| {
            let product = Product::new(row.number, row.times)
                .ok_or((row.first(), TableError::Factors(row.times.len())))?;
            let over = row.axes.iter().map(|axis| axis.over);
            Ok(ReadyRow { cause: cause(over.chain(row.times.iter().copied())), product })
        };
        let rows_ready = rows.iter().map(ready).collect::<Result<_, _>>()?;
        let mut axes = [0; AXES_MAX];
        for (place, axis) in axes.iter_mut().zip(rows[0].axes) {
            *place = self.shared(axis).map_err(|error| (rows[0].first(), error.into()))?;
        }
        Ok(ReadyStack { look_up, axes, rows: rows_ready })
    }
    /// Index of an axis among those of all tables.
    fn shared(&mut self, figures: &TableAxis) -> Result<usize, GridError> {
        let (slot, scale) = (figures.over.slot(), figures.scale);
        let axis = ReadyAxis { slot, scale, axis: Axis::new(figures.knots.clone(), 0)? };
        Ok(place_of(axis, &mut self.axes))
    }
}

/// Index of one among those known, added when it is not.
fn place_of<T: PartialEq>(one: T, known: &mut Vec<T>) -> usize {
    known.iter().position(|other| *other == one).unwrap_or_else(|| {
        known.push(one);
        known.len() - 1
    })
}

/// All tables at an instant: values of the variables, and their places on the shared axes.
struct Reading<'a> {
    tables: &'a Tables,
    values: &'a Values,
    spots: &'a [Spot; AXES_SHARED],
}

impl Parts for Reading<'_> {
    #[inline(always)]
    fn each(&self, mut give: impl FnMut(Cause, Six)) {
        for stack in &self.tables.stacks {
            let at = |n: usize| {
                let index = stack.axes[n];
                let search = || self.tables.axes[index].spot(self.values);
                self.spots.get(index).copied().unwrap_or_else(search)
            };
            let mut give = |(row, ready): (Row, &ReadyRow)| {
                give(ready.cause, Six(row * ready.product.value(self.values)));
            };
            match &stack.look_up {
                LookUp::One(tables) => {
                    tables.at_spots([at(0)]).zip(&stack.rows).for_each(&mut give);
                }
                LookUp::Two(tables) => {
                    tables.at_spots([at(0), at(1)]).zip(&stack.rows).for_each(&mut give);
                }
                LookUp::Three(tables) => {
                    tables.at_spots([at(0), at(1), at(2)]).zip(&stack.rows).for_each(&mut give);
                }
            }
        }
    }
}

impl Aerodynamics for Tables {
    fn add(&self, flow: &Flow, surfaces: &Surfaces, wash: &Wash, budget: &mut Budget) {
        let frame = &self.frame;
        let values = self.asked.values(&frame.lengths, flow, surfaces, wash);
        let mut spots = [Spot { index: 0, share: 0.0 }; AXES_SHARED];
        for (spot, axis) in spots.iter_mut().zip(&self.axes) {
            *spot = axis.spot(&values);
        }
        let parts = Reading { tables: self, values: &values, spots: &spots };
        budget.write(&Writing { frame, flow, parts });
        budget.keep_incidence_rate(frame.incidence_rate(flow));
    }
    fn incidence_rate(&self, flow: &Flow) -> Wrench {
        self.frame.incidence_rate(flow)
    }
    fn reference(&self) -> Reference {
        self.frame.reference
    }
    fn domain(&self) -> Domain {
        self.frame.domain
    }
}
