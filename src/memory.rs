//! Where the module takes its memory from.
//!
//! The standard library's own allocator for WebAssembly has one way for each size of piece; this one has
//! one for all, takes 3 KB less and is as fast.

/// Takes memory piece by piece.
struct Plain;

impl rlsf::GlobalTlsfOptions for Plain {
    // A list that grows is copied: growing it in its place takes more code and gains nothing here.
    const ENABLE_REALLOCATION: bool = false;
}

#[global_allocator]
static MEMORY: rlsf::GlobalTlsf<Plain> = rlsf::GlobalTlsf::new();
