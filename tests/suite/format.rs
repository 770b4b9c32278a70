//! The scenario file: round trips, independent readers, problems.

use crosspatch::format::{self, Syntax};
use crosspatch::samples::{SHIPPED, Size, generate};

#[test]
fn written_text_reads_back_to_the_same_text() {
    for sample in SHIPPED {
        let first = format::write(
            &format::read(sample.text, Syntax::Ron).unwrap(),
            Syntax::Ron,
        );
        let second = format::write(&format::read(&first, Syntax::Ron).unwrap(), Syntax::Ron);
        assert_eq!(first, second);
    }
    let s = generate(Size::for_units(100), 1);
    let json = format::write(&s, Syntax::Json);
    let back = format::read(&json, Syntax::Json).unwrap_or_else(|p| panic!("{p}"));
    assert_eq!(format::write(&back, Syntax::Json), json);
}
