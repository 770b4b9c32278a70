//! What was ticked on the spot, and by what number somebody is called, stand on paper.

use std::sync::Arc;

use crosspatch::exchange::assigned;
use crosspatch::model::{Attachment, Edit, Step, Verified};
use crosspatch::paperwork::Kind;
use crosspatch::picture::Picture;
use crosspatch::picture::precheck::{PreCheck, note_heard, tried};

use super::{ask, pieces, shipped};

#[test]
fn the_number_of_a_telephone_is_on_the_205a() {
    let s = shipped("incident.ron");
    let mut phone = s.telephones.first().expect("a telephone").clone();
    "555-0142".clone_into(&mut phone.number);
    let s = s.apply(&[Edit::Replace(phone.into())]).expect("it goes");
    let ask = ask(s, &[Kind::Ics205a]);
    for piece in pieces(&ask) {
        let text = piece.document.texts().concat().join(" ");
        assert!(text.contains("555-0142"), "{text}");
    }
}

#[test]
fn what_was_heard_on_the_spot_is_on_the_pre_check_with_who_and_when() {
    let s = shipped("incident.ron");
    let phase = s.phases.first().expect("a phase").clone();
    let picture = Picture::new(Arc::new(s.clone()), phase.id);
    let by = Verified {
        by: "R. Vale".to_owned(),
        on: "2031-05-04".to_owned(),
        at: "14:05".to_owned(),
    };
    let is_donor = |a: &&Attachment| matches!(a, Attachment::Radio { .. });
    let port = phase.attachments.iter().find(|(_, a)| is_donor(a));
    let port = *port.expect("a donor").0;
    let list = PreCheck::of(&picture);
    let pair = { list.pairs.iter() }
        .find(|p| p.delay_ms.is_some())
        .expect("one is met");
    let noted = note_heard(
        &picture,
        (pair.from, pair.to),
        Some(&by),
        (Some(4), Some(600)),
    );
    let edits = [
        tried(&phase, port, [Step::OwnAgency], Some(&by)),
        noted.expect("it is heard"),
    ];
    let mut ask = ask(s.apply(&edits).expect("ticks pass"), &[Kind::PreCheck]);
    ask.phases.truncate(1);
    let text = pieces(&ask)[0].document.texts().concat().join(" ");
    for words in ["R. Vale 05/04/2031 14:05", "DAQ 4 late 0.6 s"] {
        // Lines may be broken anywhere between words.
        let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain(&text).contains(words), "{words} in {text}");
    }
}

#[test]
fn the_205_names_those_whom_the_table_names() {
    let mut ask = ask(shipped("incident.ron"), &[Kind::Ics205]);
    ask.phases.truncate(1);
    let picture = Picture::new(Arc::clone(&ask.scenario), ask.phases[0]);
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let form = plain(&pieces(&ask)[0].document.texts().concat().join(" "));
    let mut seen = 0;
    for (channel, _) in picture.users() {
        let words = assigned(&picture)[&channel.id].words(&picture);
        assert!(form.contains(&plain(&words)), "{words} in {form}");
        seen += 1;
    }
    assert!(seen > 10);
}
