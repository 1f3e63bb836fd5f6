//! Aerodynamics as tables: each coefficient a sum of tables over one to three variables, each table perhaps times a product
//! of variables (a derivative that changes with incidence, times its control). Between the knots linear, beyond them held.

use base::numerics::grid::{Grid, GridError, Outside};

use super::polynomial::{Coefficient, FACTORS_MAX, Frame, Product, Six};
use super::variables::{Values, cause, values};
use super::{Aerodynamics, Domain, Reference, Variable};
use crate::budget::{Budget, CAUSES, Cause, Wrench};
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

#[derive(Debug, Clone, PartialEq)]
enum LookUp {
    One(Grid<1>),
    Two(Grid<2>),
    Three(Grid<3>),
}

/// A table made ready.
#[derive(Debug, Clone, PartialEq)]
struct Ready {
    of: Coefficient,
    cause: Cause,
    look_up: LookUp,
    axes: [(u8, f64); AXES_MAX],
    product: Product,
}

impl Ready {
    fn new(figures: &TableFigures) -> Result<Self, TableError> {
        let product = Product::new(figures.number, &figures.times)
            .ok_or(TableError::Factors(figures.times.len()))?;
        let mut axes = [(0, 1.0); AXES_MAX];
        for (slot, axis) in axes.iter_mut().zip(&figures.axes) {
            *slot = (axis.over.slot(), axis.scale);
        }
        let knots = |n: usize| figures.axes[n].knots.clone();
        let table = figures.values.clone();
        let look_up = match figures.axes.len() {
            1 => LookUp::One(Grid::new([knots(0)], table, Outside::Held)?),
            2 => LookUp::Two(Grid::new([knots(0), knots(1)], table, Outside::Held)?),
            3 => LookUp::Three(Grid::new([knots(0), knots(1), knots(2)], table, Outside::Held)?),
            n => return Err(TableError::Axes(n)),
        };
        let over = figures.axes.iter().map(|axis| axis.over);
        let cause = cause(over.chain(figures.times.iter().copied()));
        Ok(Self { of: figures.of, cause, look_up, axes, product })
    }
    fn value(&self, values: &Values) -> f64 {
        let at = |n: usize| values[self.axes[n].0 as usize] * self.axes[n].1;
        let found = match &self.look_up {
            LookUp::One(grid) => grid.at([at(0)]),
            LookUp::Two(grid) => grid.at([at(0), at(1)]),
            LookUp::Three(grid) => grid.at([at(0), at(1), at(2)]),
        };
        found * self.product.value(values)
    }
}

/// Tabulated aerodynamics.
#[derive(Debug, Clone, PartialEq)]
pub struct Tables {
    frame: Frame,
    tables: Vec<Ready>,
}

impl Tables {
    /// From tables.
    ///
    /// # Errors
    /// The index of the first table that is not one, with what is wrong.
    pub fn new(frame: Frame, figures: &[TableFigures]) -> Result<Self, (usize, TableError)> {
        let ready =
            |(index, one): (usize, &TableFigures)| Ready::new(one).map_err(|error| (index, error));
        let mut tables = figures.iter().enumerate().map(ready).collect::<Result<Vec<_>, _>>()?;
        tables.sort_by_key(|table| table.cause);
        Ok(Self { frame, tables })
    }
}

impl Aerodynamics for Tables {
    fn add(&self, flow: &Flow, surfaces: &Surfaces, wash: &Wash, budget: &mut Budget) {
        let Frame { reference, lengths, axes, .. } = &self.frame;
        let values = values(lengths, flow, surfaces, wash);
        let mut shares = [Six::default(); CAUSES];
        for table in &self.tables {
            shares[table.cause as usize].add(table.of, table.value(&values));
        }
        // Tables are sorted by cause: each cause is added once.
        for same in self.tables.chunk_by(|a, b| a.cause == b.cause) {
            let cause = same[0].cause;
            budget.add(cause, shares[cause as usize].wrench(*axes, reference, flow));
        }
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
