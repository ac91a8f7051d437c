//! The mechanical model: bodies, joints, hooks and members with laws.
