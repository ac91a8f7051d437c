//! Gives the shared library the name under which programs ask for it: cargo sets none.

fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    let system = std::env::var("CARGO_CFG_TARGET_OS").unwrap_or_default();
    if matches!(system.as_str(), "linux" | "android" | "freebsd" | "netbsd" | "openbsd") {
        // The number is that of the binary interface; it changes only when programs must be compiled anew.
        println!("cargo:rustc-cdylib-link-arg=-Wl,-soname,librigging.so.0");
    }
}
