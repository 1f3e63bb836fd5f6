//! Routes, errors, headers, the host rule and uploads, without a port.
