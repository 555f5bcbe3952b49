//! Why facts could not be computed.

use crate::mesh::read_stl::ReadError;
use crate::solve::run::Cancelled;
use crate::study::job::frames::FARTHEST_IN_WORK_MM;
use crate::study::parting::PartingError;
use crate::study::parting::cut::CutError;
use crate::study::pour::flow::FlowError;

/// Why facts could not be computed.
#[derive(Debug, thiserror::Error)]
pub enum StudyError {
    /// A mesh cannot be read.
    #[error(transparent)]
    Mesh(#[from] ReadError),
    /// The plan names no part.
    #[error("The plan has no part. Open a mesh first")]
    NoPart,
    /// The block would be larger than any.
    #[error(
        "The block would be {longest_mm:.0} mm long, and blocks of up to {FARTHEST_IN_WORK_MM:.0} mm are worked out. Check the unit of \
         each mesh, where the parts stand, and the corners of the runners"
    )]
    TooLarge {
        /// Its longest side, millimetres.
        longest_mm: f64,
    },
    /// There is no parting.
    #[error("There is no parting: {0}")]
    Parting(PartingError),
    /// There is no flow path.
    #[error("There is no flow path: {0}")]
    Flow(FlowError),
    /// The block cannot be cut open.
    #[error("The block cannot be cut open: {0}")]
    Cut(CutError),
    /// The run was cancelled.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}

impl From<CutError> for StudyError {
    fn from(e: CutError) -> StudyError {
        match e {
            CutError::Cancelled(c) => StudyError::Cancelled(c),
            other => StudyError::Cut(other),
        }
    }
}

impl From<FlowError> for StudyError {
    fn from(e: FlowError) -> StudyError {
        match e {
            FlowError::Cancelled(c) => StudyError::Cancelled(c),
            other => StudyError::Flow(other),
        }
    }
}

impl From<PartingError> for StudyError {
    fn from(e: PartingError) -> StudyError {
        match e {
            PartingError::Cancelled(c) => StudyError::Cancelled(c),
            other => StudyError::Parting(other),
        }
    }
}
