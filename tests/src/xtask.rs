//! The one test command: `cargo xtask test`.

fn main() {
    eprintln!("usage: cargo xtask test");
    std::process::exit(2);
}
