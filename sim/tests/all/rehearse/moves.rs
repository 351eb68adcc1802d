//! Hand moves: lost motion as the cut has it, zeros set too early, dial and slack, moves that
//! break things.

use crate::given::hands::{head, read};
use crate::given::worked::by_hand_text;
use tautway_sim::cut::lost_motion;
use tautway_sim::machine::Machine;
use tautway_sim::quantity::{Quantity, Taper};
use tautway_sim::rehearse::{Bearing, Hazard, Notice, Rehearsal, rehearse};
use tautway_sim::scenario::{AttachmentKind, End, Kind, Scenario, Source, decode as decode_job};
use tautway_sim::setup::{Face, Feed, Rotation, Setup, Side};

const INCH: f64 = 0.0254;
const THOU: f64 = 25.4e-6;
const LBF: f64 = 4.448_221_615_260_5;

fn made(moves: &[&str]) -> Rehearsal {
    rehearse(&read(&head("", moves)))
}

const AIR: &str = "[cylinder]\nbore = \"1-1/16 in\"\ntoward = \"toward the operator\"\n";

fn made_with_air(moves: &[&str]) -> Rehearsal {
    rehearse(&read(&head(AIR, moves)))
}

fn plain_lathe(moves: &[&str]) -> Rehearsal {
    let mut script = read(&head("", moves));
    script.lathe.attachment.kind = AttachmentKind::Plain;
    rehearse(&script)
}

fn hazard(made: &Rehearsal) -> Hazard {
    made.broken.as_ref().expect("something would break").hazard
}

fn warned(made: &Rehearsal, id: &str) -> Vec<usize> {
    made.steps
        .iter()
        .filter(|step| step.notices.iter().any(|n| n.id() == id))
        .map(|step| step.number)
        .collect()
}

fn close(a: f64, b: f64, within: f64) -> bool {
    (a - b).abs() <= within
}

/// The lathe of the moves in the words of a cut; a bored taper at the front wall.
fn as_cut(kind: AttachmentKind, feed: Feed, taper: f64) -> (Scenario, Setup) {
    let (job, lathe) = (
        Source {
            name: "job",
            text: &by_hand_text("tapered-socket.toml"),
        },
        Source {
            name: "lathe",
            text: &by_hand_text("worn-lathe.toml"),
        },
    );
    let (mut scenario, _) = decode_job(job, lathe).expect("a scenario in order");
    scenario.lathe.attachment.kind = kind;
    // The slide itself isn't driven through the top slide.
    scenario.lathe.top_slide.locked = true;
    scenario.job.work.taper = Taper::from_si(taper);
    let setup = Setup {
        kind: Kind::Inside,
        big_end: End::Tailstock,
        side: Side::Front,
        feed,
        rotation: Rotation::Forward,
        face: Face::Up,
    };
    (scenario, setup)
}

#[test]
fn reversal_loses_what_the_run_in_of_a_cut_loses() {
    for kind in [AttachmentKind::Telescoping, AttachmentKind::Plain] {
        for (feed, back) in [
            ("headstock", Feed::Tailstock),
            ("tailstock", Feed::Headstock),
        ] {
            for taper in [3.0 / 12.0, 2.0 / 12.0, 1.0 / 12.0] {
                let mut script = read(&head(
                    "",
                    &[
                        &format!("carriage 4.5 in toward the {feed}"),
                        "reverse",
                        "carriage 4 in",
                    ],
                ));
                script.taper = Taper::from_si(taper);
                script.lathe.attachment.kind = kind;
                let made = rehearse(&script);
                let (scenario, setup) = as_cut(kind, back, taper);
                let machine = Machine::new(&scenario, &setup, taper / 2.0);
                let wanted = lost_motion(&machine, setup.pull().sign()).total;
                let lost = made.steps[1].lost.expect("coupled").stood_still;
                assert!(
                    close(lost, wanted, 1e-9),
                    "{kind:?} {feed} {taper}: {lost} for {wanted}"
                );
            }
        }
    }
}

#[test]
fn lost_motion_closed_form() {
    // By hand: 0.010 in at the foot and 0.080 in of slack over 1/12 in per in.
    let made = made(&[
        "carriage 2 in toward the headstock",
        "reverse",
        "carriage 2 in",
    ]);
    let lost = made.steps[1].lost.expect("coupled");
    let wound_up = lost.stood_still - (0.010 + 0.080 * 12.0) * INCH;
    // What is over is wind-up: some 46 lbf on a worn drive, in carriage travel.
    assert!(
        wound_up > 0.0 && wound_up < 0.1 * INCH,
        "{}",
        wound_up / INCH
    );
    assert!(close(lost.at_foot, 0.010 * INCH, 1e-12));
}

#[test]
fn going_on_the_same_way_loses_next_to_nothing() {
    let made = made(&["carriage 2 in toward the headstock", "carriage 2 in"]);
    let step = &made.steps[1];
    let lost = step.lost.expect("coupled");
    assert!(lost.short < 1e-12, "{lost:?}");
    assert!(close(step.slide_moved, -2.0 * INCH / 12.0, 1e-12));
}

#[test]
fn zero_too_early_reads_a_wrong_taper_and_after_the_run_in_the_right_one() {
    let made = rehearse(&read(&by_hand_text("zero-too-early.moves")));
    assert!(made.broken.is_none(), "{:?}", made.broken);
    assert_eq!(warned(&made, "zeroed-early"), [2]);
    let reads: Vec<(usize, f64)> = made
        .steps
        .iter()
        .flat_map(|step| {
            step.notices.iter().filter_map(|n| match n {
                Notice::ReadsAs { taper, .. } => Some((step.number, *taper)),
                _ => None,
            })
        })
        .collect();
    assert_eq!(reads.len(), 2, "{reads:?}");
    let step = made.steps[2].stand.readout;
    assert!(step > 0.0);
    // The slack's 0.96 in of 3 in at least are missing.
    assert!(
        reads[0].1 < 2.0 / 12.0 * (3.0 - 0.97) / 3.0 + 1e-3,
        "{reads:?}"
    );
    // One readout step of 0.0005 in over 3 in is 0.004 in/ft on diameter.
    assert!(close(reads[1].1, 2.0 / 12.0, 0.004 / 12.0), "{reads:?}");
    let Some(Notice::ZeroedEarly { still, short, .. }) = made.steps[1].notices.first() else {
        panic!("no warning: {:?}", made.steps[1].notices);
    };
    // The warning foretells what the next move then loses.
    let lost = made.steps[2].lost.expect("coupled");
    assert!(close(*still, lost.stood_still, 1e-9), "{still} {lost:?}");
    assert!(close(*short, lost.short, 1e-9), "{short} {lost:?}");
}

#[test]
fn the_reversal_example_shows_what_it_says() {
    let made = rehearse(&read(&by_hand_text("reversal.moves")));
    assert!(made.broken.is_none(), "{:?}", made.broken);
    let find = |words: &str| {
        made.steps
            .iter()
            .position(|step| step.words.starts_with(words))
            .expect(words)
    };
    let dial = &made.steps[find("dial in")];
    assert_eq!(dial.slide_moved, 0.0);
    assert!(dial.notices.iter().any(|n| n.id() == "dial-in-slack"));
    let bump = find("bump");
    assert!(made.steps[bump].slide_moved > 10.0 * THOU);
    // Seated by hand, the slide follows with no more than its wind-up.
    let after = made.steps[bump + 1].lost.expect("coupled");
    assert!(after.stood_still < 0.1 * INCH, "{after:?}");
    assert!(warned(&made, "uncoupled").len() == 1);
}

#[test]
fn dial_back_and_forth_shows_all_the_slack_and_the_wind_up() {
    let out = made(&["dial out 0.200 in", "dial in 0.200 in", "dial out 0.200 in"]);
    let (back, forth) = (&out.steps[1], &out.steps[2]);
    assert!(close(back.slide_moved, -forth.slide_moved, 1e-12));
    assert!(close(forth.stand.dial, 0.200 * INCH, 1e-12));
    let lost = 0.200 * INCH - forth.slide_moved;
    // All of the 0.080 in of slack, and twice the hand drag of 14 lbf over the drive's springs.
    let (scenario, setup) = as_cut(AttachmentKind::Telescoping, Feed::Tailstock, 2.0 / 12.0);
    let drive = Machine::new(&scenario, &setup, 1.0 / 12.0).drive;
    let wanted = 0.080 * INCH + 14.0 * LBF * (1.0 / drive.first + 1.0 / drive.other);
    assert!(
        close(lost, wanted, 1e-9),
        "{} {}",
        lost / THOU,
        wanted / THOU
    );
}

#[test]
fn uncoupled_the_dial_loses_the_nut_and_the_thrust_float_alone() {
    let made = made(&["uncouple", "dial out 0.200 in", "dial in 0.200 in"]);
    let slack: f64 = made.steps[1].stand.gaps[1..].iter().map(|g| g.slack).sum();
    let names: Vec<_> = made.steps[1].stand.gaps.iter().map(|g| g.name).collect();
    assert_eq!(names, ["foot and rod", "thrust float", "nut backlash"]);
    let lost = 0.200 * INCH + made.steps[2].slide_moved;
    assert!(
        lost > slack && lost < slack + THOU,
        "{} {}",
        lost / THOU,
        slack / THOU
    );
}

#[test]
fn gaps_bear_where_the_drive_carries() {
    let made = made(&[
        "carriage 2 in toward the headstock",
        "carriage 0.5 in toward the tailstock",
    ]);
    // The big end is at the tailstock: toward the headstock the slide goes away from the operator.
    let first = &made.steps[0].stand;
    assert!(first.drive < 0.0 && first.gaps[1..].iter().all(|g| g.bears == Bearing::Away));
    assert_eq!(first.gaps[0].bears, Bearing::Headstock);
    let then = &made.steps[1].stand;
    assert_eq!(then.drive, 0.0);
    assert!(then.gaps[1..].iter().all(|g| g.bears == Bearing::Open));
    assert_eq!(then.gaps[0].bears, Bearing::Tailstock);
    // It floats: both ways together are the slack.
    assert!(close(then.float.0 + then.float.1, 0.080 * INCH, 1e-12));
}

#[test]
fn a_plain_attachment_has_a_dead_dial_and_a_live_top_slide() {
    let made = plain_lathe(&[
        "dial in 0.020 in",
        "top slide in 0.050 in",
        "top slide in 0.010 in",
    ]);
    assert_eq!(made.steps[0].slide_moved, 0.0);
    assert!(close(made.steps[0].stand.dial, -0.020 * INCH, 1e-12));
    assert_eq!(warned(&made, "dial-dead"), [1]);
    assert_eq!(made.steps[2].slide_moved, 0.0);
    assert!(close(made.steps[2].tool_moved, -0.010 * INCH, 1e-12));
    // Its own slack was lost in the first turn of the handle: half of it, from the middle.
    let lost = 0.050 * INCH + made.steps[1].tool_moved;
    assert!(lost > 0.0 && warned(&made, "top-slide-in-slack") == [2]);
}

#[test]
fn moves_that_break_things_end_the_rehearsal() {
    let far = "carriage 6 in toward the headstock";
    let go = "carriage 1 in toward the headstock";
    let on = "air on 60 psi";
    let cases: [(&[&str], &str); 9] = [
        (&["lock shoe", go], "carriage-tied-to-bed"),
        (&["cross feed in", go], "cross-feed-in-while-coupled"),
        (&["lock slide", go], "slide-locked-while-coupled"),
        (&["lock slide", "dial in 0.2 in"], "dial-against-lock"),
        (
            &["cross feed in", "dial in 0.01 in"],
            "dial-against-cross-feed",
        ),
        (
            &["lock top slide", "top slide in 0.01 in"],
            "top-slide-locked",
        ),
        (&[far], "end-of-guide"),
        (&["dial out 5 in"], "end-of-slide"),
        (&[on, "uncouple"], "let-go-under-air"),
    ];
    for (moves, id) in cases {
        let mut all = moves.to_vec();
        all.push("zero dial");
        let made = made_with_air(&all);
        assert_eq!(hazard(&made).id(), id);
        assert_eq!(made.steps.len(), moves.len() - 1, "{id}: it stops there");
        let broken = made.broken.expect("broken");
        assert_eq!(broken.number, moves.len());
        assert_eq!(broken.words, moves[moves.len() - 1]);
    }
    let foot = made_with_air(&[on, "let the foot go"]);
    assert_eq!(hazard(&foot), Hazard::LetGoUnderAir);
}

#[test]
fn what_is_undone_in_time_breaks_nothing() {
    let go = "carriage 1 in toward the headstock";
    let cases: [&[&str]; 6] = [
        &["lock shoe", "let foot go", go],
        &["lock shoe", "unlock shoe", go],
        &["cross feed in", "cross feed out", go],
        &["lock slide", "unlock slide", go],
        &["uncouple", "lock slide", go],
        &["air on 60 psi", "air off", "uncouple"],
    ];
    for moves in cases {
        let made = made_with_air(moves);
        assert_eq!(made.broken, None, "{moves:?}");
    }
    let idle = made(&["let foot go", "lock shoe", go]);
    assert_eq!(idle.steps[2].slide_moved, 0.0);
    assert_eq!(idle.steps[2].stand.guide_room, idle.start.guide_room);
}

#[test]
fn a_free_slide_under_air_is_refused() {
    let mut script = read(&head(AIR, &["uncouple", "air on 60 psi"]));
    script.lathe.attachment.kind = AttachmentKind::Plain;
    assert_eq!(hazard(&rehearse(&script)), Hazard::FreeUnderAir);
    let mut script = read(&head(
        AIR,
        &["uncouple", "lock slide", "air on 60 psi", "unlock slide"],
    ));
    script.lathe.attachment.kind = AttachmentKind::Plain;
    let made = rehearse(&script);
    assert_eq!(made.steps.len(), 3);
    assert_eq!(hazard(&made), Hazard::FreeUnderAir);
}

#[test]
fn air_stronger_than_the_drag_keeps_one_face_through_a_reversal() {
    let moves = [
        "air on 60 psi",
        "carriage 2 in toward the headstock",
        "reverse",
        "carriage 2 in",
    ];
    let held = made_with_air(&moves);
    // 1-1/16 in at 60 psi is 53 lbf by p times area: about twice what starts the slide.
    assert!(close(held.steps[0].stand.air / LBF, 53.2, 0.1));
    assert!(held.steps[0].slide_moved > 0.0);
    let lost = held.steps[2].lost.expect("coupled");
    assert!(lost.stood_still < 0.1 * INCH, "{lost:?}");
    let bare = made(&moves[1..]).steps[1].lost.expect("coupled");
    assert!(bare.stood_still > 0.9 * INCH);
    let weak = made_with_air(&["air on 10 psi"]);
    assert_eq!(warned(&weak, "weak-air"), [1]);
}

#[test]
fn a_push_seats_the_slide_and_a_short_one_stops_short() {
    let by = made(&["bump slide away by 0.010 in"]);
    assert!(close(by.steps[0].slide_moved, -0.010 * INCH, 1e-12));
    let face = made(&[
        "bump slide away",
        "bump slide away",
        "bump slide toward the operator",
    ]);
    assert!(close(face.steps[0].slide_moved, -0.040 * INCH, 0.5 * THOU));
    assert_eq!(warned(&face, "pushed-in-vain"), [2]);
    assert!(close(face.steps[2].slide_moved, 0.080 * INCH, THOU));
    let weak = made(&["bump slide away with 5 lbf"]);
    assert_eq!(weak.steps[0].slide_moved, 0.0);
    let locked = made(&["lock slide", "bump slide away"]);
    assert_eq!(locked.steps[1].slide_moved, 0.0);
    assert_eq!(warned(&locked, "pushed-locked"), [2]);
}

#[test]
fn cautions_come_with_every_rehearsal() {
    let ids = |made: &Rehearsal| made.cautions.iter().map(|c| c.id).collect::<Vec<_>>();
    let plain = ids(&made(&["zero dial"]));
    assert_eq!(plain[0], "hand-moves-at-rest");
    for id in ["carriage-tied", "lock-and-feed", "end-of-travel"] {
        assert!(plain.contains(&id), "{plain:?}");
    }
    let air = ids(&made_with_air(&["uncouple"]));
    assert!(
        air.contains(&"air-on") && air.contains(&"lock-uncoupled"),
        "{air:?}"
    );
}
