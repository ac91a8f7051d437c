//! What hangs the rows of an experiment: the lanes of a bridle, or the network solver for anything else. Streams, statistics,
//! first order and subset simulation see rows of forces and know neither.

use super::{Distribution, Input, PIECE, bridle, network};
use crate::equilibrium::nearby::Outcomes;
use crate::equilibrium::{nearby, network as arranged};
use crate::error::Error;

/// Rows of a network that a thread draws and balances at a time.
const NETWORK_PIECE: usize = 64;

/// A nominal arrangement and its balance, to which the rows of an experiment are near.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub enum Arrangement {
    /// One load under one hook: rows side by side, as [`nearby::Nominal::solve`] hangs them.
    Bridle(Box<nearby::Nominal>),
    /// Any arrangement: row after row, each as what the nominal balance turns into ([`arranged::Nominal`]).
    Network(Box<arranged::Nominal>),
}

impl From<nearby::Nominal> for Arrangement {
    fn from(nominal: nearby::Nominal) -> Self {
        Self::Bridle(Box::new(nominal))
    }
}

impl From<arranged::Nominal> for Arrangement {
    fn from(nominal: arranged::Nominal) -> Self {
        Self::Network(Box::new(nominal))
    }
}

impl Arrangement {
    /// Number of members; legs, of a bridle.
    pub fn legs(&self) -> usize {
        match self {
            Self::Bridle(nominal) => nominal.bridle().lengths().len(),
            Self::Network(nominal) => nominal.system().members().len(),
        }
    }

    /// Number of hooks.
    pub fn hooks(&self) -> usize {
        match self {
            Self::Bridle(_) => 1,
            Self::Network(nominal) => nominal.system().hooks().len(),
        }
    }

    /// Number of bodies; the load is the first.
    pub fn bodies(&self) -> usize {
        match self {
            Self::Bridle(_) => 1,
            Self::Network(nominal) => nominal.system().bodies().len(),
        }
    }

    /// Nominal tensions, N.
    pub fn tensions(&self) -> Vec<f64> {
        match self {
            Self::Bridle(nominal) => nominal.tensions().collect(),
            Self::Network(nominal) => nominal.tensions().collect(),
        }
    }

    /// The nominal bridle; none of any other arrangement.
    pub fn bridle(&self) -> Option<&nearby::Nominal> {
        match self {
            Self::Bridle(nominal) => Some(nominal),
            Self::Network(_) => None,
        }
    }

    /// Rows that a thread draws and balances at a time.
    pub(super) const fn piece(&self) -> usize {
        match self {
            Self::Bridle(_) => PIECE,
            Self::Network(_) => NETWORK_PIECE,
        }
    }

    /// Balances `count` rows; `value` tells the uncertain inputs of a row, one row after the other.
    pub(super) fn balance(
        &self,
        uncertain: &[(Input, Distribution)],
        count: usize,
        value: impl FnMut(usize, &mut [f64]),
        out: Outcomes<'_>,
    ) -> Result<(), Error> {
        match self {
            Self::Bridle(nominal) => bridle::balance(nominal, uncertain, count, value, out),
            Self::Network(nominal) => {
                network::balance(nominal, uncertain, count, value, out);
                Ok(())
            }
        }
    }

    /// Ready to hang one state after the other, with derivatives.
    pub(super) fn single(&self) -> Single<'_> {
        match self {
            Self::Bridle(nominal) => Single::Bridle(nominal, Box::new(nearby::Single::new(nominal))),
            Self::Network(nominal) => Single::Network(Box::new(arranged::Single::new(nominal))),
        }
    }
}

/// One state after the other.
pub(super) enum Single<'a> {
    Bridle(&'a nearby::Nominal, Box<nearby::Single<'a>>),
    Network(Box<arranged::Single<'a>>),
}

impl Single<'_> {
    /// A force in the state with these values of the uncertain inputs, N, and its derivative by each of them. Forces are
    /// counted as limits are: the tensions, then the pulls on the hooks.
    pub(super) fn look(
        &mut self,
        uncertain: &[(Input, Distribution)],
        values: &[f64],
        force: usize,
    ) -> Result<(f64, Vec<f64>), Error> {
        match self {
            Self::Bridle(nominal, single) => bridle::look(nominal, single, uncertain, values, force),
            Self::Network(single) => network::look(single, uncertain, values, force),
        }
    }
}
