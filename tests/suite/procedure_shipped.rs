//! The procedures that come with the program: each reads, and each passes the proof.

use packdown::procedure::Procedure;

#[test]
fn every_shipped_procedure_reads_with_nothing_wrong() {
    for id in Procedure::shipped_ids() {
        let text = Procedure::shipped_text(id).unwrap();
        let read = Procedure::read(text).unwrap_or_else(|error| panic!("{id}: {error}"));
        assert_eq!(read.id, id);
        assert_eq!(Procedure::shipped(id).unwrap().unwrap(), read);
    }
}
