//! The page says what the command line says: the same numbers, the same words, the same faults.

use std::fs;

use crate::served::{Served, scenarios};
use crate::workshop::{Workshop, code, err, out};
use serde_json::{Value, json};

/// What `compare --format json` says of a job in a shop with both files in it.
fn compared(shop: &Workshop, trials: &str) -> Value {
    let done = shop.run(&[
        "compare", "job.toml", "--format", "json", "--trials", trials,
    ]);
    assert!(code(&done) <= 1, "{}", err(&done));
    serde_json::from_str(&out(&done)).expect("JSON")
}

/// A shop with the two texts of an answer.
fn shop_of(answer: &Value) -> Workshop {
    let shop = Workshop::empty();
    let text = |which: &str| answer[which]["text"].as_str().expect("a text").to_owned();
    let named = text("job")
        .lines()
        .find_map(|line| line.strip_prefix("lathe = \""))
        .expect("a lathe")
        .trim_end_matches('"')
        .to_owned();
    shop.write("job.toml", text("job"));
    shop.write(&named, text("lathe"));
    shop
}

#[test]
fn numbers_of_a_turned_knob_are_those_of_the_command_line() {
    let page = Served::job("tapered-socket.toml");
    for set in [
        vec![],
        vec![("slack", "0.5 mm"), ("drag", "35 lbf")],
        vec![
            ("depth", "20 thou"),
            ("feed", "0.006 in"),
            ("nose", "1/64 in"),
        ],
        vec![("taper", "3/4 in/ft")],
        vec![("preload-by", "air"), ("pressure", "5 bar")],
        vec![("slack-by", "parts"), ("nut", "0.05 in")],
    ] {
        let told = page.turned(&set);
        let told_by_command = compared(&shop_of(&told), "0");
        assert_eq!(
            told["faults"].as_array().map(Vec::len),
            told_by_command["diagnostics"].as_array().map(Vec::len)
        );
        assert_eq!(
            told["answer"]["records"], told_by_command["ways"],
            "with {set:?}"
        );
    }
}

#[test]
fn the_first_answer_is_the_way_in_sight_with_the_command_lines_numbers() {
    let page = Served::job("tapered-socket.toml");
    for (feed, knob, text) in [
        ("tailstock", "slack", "0.5 mm"),
        ("headstock", "depth", "20 thou"),
    ] {
        let mut question = page.question();
        question["set"] = json!([[knob, text]]);
        for (which, word) in [("side", "front"), ("feed", feed), ("rotation", "forward")] {
            question[which] = json!(word);
        }
        let first = page.post("/api/first", &question).json();
        let whole = page.post("/api/run", &question).json();
        assert_eq!(first["job"], whole["job"]);
        assert_eq!(first["lathe"], whole["lathe"]);
        assert_eq!(first["controls"], whole["controls"]);
        let (first, whole) = (&first["answer"], &whole["answer"]);
        assert_eq!(first["chosen"]["key"], format!("front {feed} forward"));
        for part in [
            "drive", "surface", "on_map", "setup", "cautions", "seed", "name",
        ] {
            assert_eq!(first[part], whole[part], "{part}");
        }
        assert_eq!(first["chosen"]["numbers"], whole["chosen"]["numbers"]);
        let told = page.turned(&[(knob, text)]);
        let ways = compared(&shop_of(&told), "0")["ways"].clone();
        let mine = |way: &&Value| way["setup"] == first["setup"];
        let way = ways.as_array().expect("ways").iter().find(mine);
        let mut way = way.expect("the way in sight").clone();
        // Which others come to the same is told with the ranking.
        way["also"] = json!([]);
        assert_eq!(first["record"], way);
    }
    let mut question = page.question();
    question["set"] = json!([["drag", "20 furlongs"]]);
    let wrong = page.post("/api/first", &question).json();
    assert!(wrong["answer"].is_null());
    assert_eq!(wrong["faults"][0]["control"], "drag");
}

#[test]
fn a_seed_gives_the_numbers_of_the_command_line_with_that_seed() {
    let page = Served::job("plug-cock.toml");
    let told = page.turned(&[]);
    let shop = shop_of(&told);
    let mut question = page.question();
    let mut records = Vec::new();
    for seed in [json!(1), json!("7"), json!(" 18446744073709551615 ")] {
        question["seed"] = seed.clone();
        let told = page.post("/api/run", &question).json();
        let word = seed
            .as_str()
            .map_or(seed.to_string(), |text| text.trim().to_owned());
        assert_eq!(told["answer"]["seed"].to_string(), word);
        let words = ["compare", "job.toml", "--format", "json", "--trials", "0"];
        let done = shop.run(&[&words[..], &["--seed", &word]].concat());
        let by_command: Value = serde_json::from_str(&out(&done)).expect("JSON");
        assert_eq!(told["answer"]["records"], by_command["ways"]);
        records.push(told["answer"]["records"].clone());
    }
    assert_ne!(records[0], records[1]);
    for seed in ["-1", "1.5", "a"] {
        question["seed"] = json!(seed);
        let told = page.post("/api/run", &question).json();
        assert!(told["answer"].is_null(), "{seed}");
        assert_eq!(told["faults"][0]["control"], "seed", "{seed}");
    }
}

#[test]
fn methods_without_the_attachment_come_with_the_command_lines_chances() {
    // One beside the attachment, with the seed that was set; one where the attachment is out.
    for (job, seed, chance) in [
        ("taper-sleeve.toml", "2", "in tolerance on about"),
        ("long-mandrel.toml", "1", "lathes like yours"),
    ] {
        let page = Served::job(job);
        let told = page.turned(&[]);
        let shop = shop_of(&told);
        let mut question = page.question();
        question["job"] = told["job"].clone();
        question["seed"] = json!(seed);
        let at_once = page.post("/api/run", &question).json();
        let events = page.post("/api/refine", &question).events();
        let tried = events.iter().find(|(event, _)| event == "methods");
        let tried = &tried.expect("methods are tried").1;
        assert_ne!(at_once["answer"]["said"], tried["said"], "{job}");
        let done = shop.run(&["compare", "job.toml", "--seed", seed]);
        let whole = shop.run(&["compare", "job.toml", "--seed", seed, "--detail"]);
        let mut chances = 0;
        for (part, done) in [("said", &done), ("methods", &whole)] {
            let screen = out(done).split_whitespace().collect::<Vec<_>>().join(" ");
            for paragraph in tried[part].as_array().expect("paragraphs") {
                let text = paragraph["text"].as_str().expect("words");
                let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
                assert!(screen.contains(&text), "{job}: {text:?} in {screen}");
                chances += usize::from(text.contains(chance));
            }
        }
        assert!(chances > 0, "{job}: {tried}");
    }
}

#[test]
fn words_are_those_of_the_screen() {
    let page = Served::job("tapered-socket.toml");
    let told = page.turned(&[]);
    let shop = shop_of(&told);
    let done = shop.run(&["compare", "job.toml", "--trials", "0"]);
    let screen = out(&done).split_whitespace().collect::<Vec<_>>().join(" ");
    let said = told["answer"]["said"].as_array().expect("paragraphs");
    let mut checked = 0;
    for paragraph in said {
        let [label, text] = ["label", "text"].map(|part| paragraph[part].as_str().expect("words"));
        // What was assumed is looked into later, when the trials are.
        if ["Aim", "I assumed:", "Mend first:"].contains(&label) {
            continue;
        }
        let whole = format!("{label} {text}");
        let whole = whole.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(screen.contains(whole.trim()), "{whole:?} in {screen}");
        checked += 1;
    }
    assert!(checked > 10, "{checked}");
}

#[test]
fn the_spread_comes_in_pieces_and_ends_at_the_command_lines_numbers() {
    let page = Served::job("snug-slide-socket.toml");
    let mut question = page.question();
    let told = page.post("/api/run", &question).json();
    question["job"] = told["job"].clone();
    let events = page.post("/api/refine", &question).events();
    let named = |name: &str| events.iter().filter(|(event, _)| event == name).count();
    assert_eq!(named("likely"), 1);
    assert_eq!(named("map"), 1);
    assert!(named("spread") >= 3, "{}", named("spread"));
    let (last, done) = events.last().expect("an end");
    assert_eq!(last, "done");
    let by_command = compared(&shop_of(&told), "auto");
    assert_eq!(done["spread"], by_command["spread"]);
    let likely = events.iter().find(|(event, _)| event == "likely");
    assert_eq!(
        likely.expect("it is there").1["likely"],
        by_command["likely"]
    );
}

#[test]
fn a_broken_value_is_pointed_at_as_on_the_command_line() {
    let page = Served::job("tapered-socket.toml");
    for (knob, text, wants) in [
        ("slack", "80", "80 in or 80 thou"),
        ("drag", "20 furlongs", "furlongs"),
        ("depth", "-5 thou", "finish"),
        ("material", "cheese", "cheese"),
        ("pressure", "", ""),
    ] {
        let told = page.turned(&[(knob, text)]);
        let faults = told["faults"].as_array().expect("faults");
        if wants.is_empty() {
            assert!(faults.is_empty(), "{faults:?}");
            continue;
        }
        assert!(told["answer"].is_null(), "{knob} = {text} was answered");
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert_eq!(faults[0]["control"], knob);
        let shop = shop_of(&told);
        let done = shop.run(&["check", "job.toml"]);
        assert_eq!(code(&done), 2);
        let [message, hint] =
            ["message", "hint"].map(|part| faults[0][part].as_str().expect("words"));
        for words in [message, hint] {
            assert!(err(&done).contains(words), "{words:?} in {}", err(&done));
        }
        let drawn = told["drawn"].as_str().expect("drawn");
        assert!(drawn.contains(message) && drawn.contains(text), "{drawn}");
    }
}

#[test]
fn a_start_that_is_no_length_is_told_at_its_knob() {
    let page = Served::job("tapered-socket.toml");
    let mut question = page.question();
    question["start"] = json!("half");
    let told = page.post("/api/run", &question).json();
    assert!(told["answer"].is_null());
    assert_eq!(told["faults"][0]["control"], "start");
    question["start"] = json!("0.3 in");
    let told = page.post("/api/run", &question).json();
    let way = &told["answer"]["records"][0];
    assert_eq!(way["start"]["wanted"], json!(0.3 * 0.0254));
    assert_eq!(way["start"]["short"], true);
}

#[test]
fn a_way_that_is_chosen_is_looked_at_and_the_ranking_stays() {
    let page = Served::job("tapered-socket.toml");
    let best = page.turned(&[]);
    let mut question = page.question();
    question["feed"] = json!("headstock");
    let other = page.post("/api/run", &question).json();
    assert_eq!(best["answer"]["records"], other["answer"]["records"]);
    assert_eq!(best["answer"]["is_best"], true);
    assert_eq!(other["answer"]["is_best"], false);
    assert_eq!(other["answer"]["chosen"]["feed"], "headstock");
    assert!(
        other["answer"]["on_map"].is_array(),
        "drawn away, it stands on the map"
    );
    assert!(best["answer"]["on_map"].is_null());
}

#[test]
fn a_cut_too_long_for_a_live_page_is_refused_at_its_length() {
    let page = Served::job("tapered-socket.toml");
    let told = page.turned(&[("feed", "0.00002 in")]);
    assert!(told["answer"].is_null());
    let words = told["faults"].to_string();
    assert!(words.contains("too long for the live page"), "{words}");
}

#[test]
fn a_slack_without_end_is_refused_at_its_knob() {
    let page = Served::job("tapered-socket.toml");
    let told = page.turned(&[("slack", "1e308 in")]);
    assert!(told["answer"].is_null());
    let faults = told["faults"].as_array().expect("faults");
    let error = faults.iter().find(|fault| fault["severity"] == "error");
    assert_eq!(error.expect("a fault")["control"], "slack");
}

#[test]
fn texts_come_back_with_their_comments_and_are_read_by_the_command_line() {
    let page = Served::job("air-out-of-the-cut.toml");
    let told = page.turned(&[("drag", "21 lbf"), ("depth", "0.008 in")]);
    let before = fs::read_to_string(scenarios().join("air-out-of-the-cut.toml")).expect("a job");
    let after = told["job"]["text"].as_str().expect("a text");
    assert_eq!(
        after,
        before.replace("finish = [\"0.010 in\"]", "finish = [\"0.008 in\"]")
    );
    let lathe = told["lathe"]["text"].as_str().expect("a text");
    assert!(lathe.starts_with("# A 14 in lathe"), "{lathe}");
    let done = shop_of(&told).run(&["check", "job.toml"]);
    assert_eq!(code(&done), 0, "{}", err(&done));
}

#[test]
fn every_example_of_the_page_is_answered() {
    let page = Served::with(&[]);
    let start = page.get("/api/start").json();
    let examples = start["examples"].as_array().expect("examples");
    assert!(examples.len() >= 6);
    for example in examples {
        let id = example["id"].as_str().expect("an id");
        let texts = page.get(&format!("/api/example/{id}")).json();
        let told = page.post("/api/run", &texts).json();
        assert!(told["answer"].is_object(), "{id}: {}", told["drawn"]);
        assert_eq!(told["answer"]["name"], example["title"]);
    }
    assert_eq!(page.get("/api/example/nothing").status, 404);
}

#[test]
fn figures_are_drawn_when_they_are_asked_for() {
    let page = Served::job("tapered-socket.toml");
    for name in ["plan", "cut", "surfaces", "lost-motion"] {
        let figure = page
            .post(&format!("/api/figure/{name}"), &page.question())
            .json();
        let svg = figure["svg"].as_str().expect("a drawing");
        assert!(
            svg.starts_with("<svg") && !svg.contains("<script"),
            "{name}"
        );
    }
    assert_eq!(page.post("/api/figure/none", &page.question()).status, 404);
}
