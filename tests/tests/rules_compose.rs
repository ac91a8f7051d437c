//! Rule sets put together of documents: which document answers, what excludes what, and what is refused.

use rigging_core::rules::{Answer, DocumentIdentity, Facts, Question, RuleSet};

const HEAD: &str = "format = 1\nname = \"set\"\ntitle = \"A set\"\nedition = \"2025\"\nstatus = \"in force\"\n";

/// A document of the yard with these rules; each rule is `answers`, `name` and the rest.
fn document(name: &str, rules: &[&str]) -> String {
    let rules: String =
        rules.iter().map(|rule| format!("[[rule]]\nsource = \"s\"\nclause = \"1\"\n{rule}\n")).collect();
    format!(
        "format = 1\nname = \"{name}\"\ntitle = \"Document {name}\"\nedition = \"2025\"\nstatus = \"in force\"\n\
         [[source]]\nid = \"s\"\ndocument = \"instruction {name}\"\nstanding = \"stated\"\n{rules}"
    )
}

fn hot(name: &str, when: &str, celsius: f64) -> String {
    format!(
        "answers = \"highest temperature\"\nname = \"{name}\"\nwhen = {when}\nrelation = \"constant\"\nvalue = {celsius:?}\nunit = \"degC\""
    )
}

fn includes(names: &[&str]) -> String {
    names.iter().map(|name| format!("[[include]]\ndocument = \"{name}\"\n")).collect()
}

fn precedence(take: &str) -> String {
    format!("[[precedence]]\nanswers = \"highest temperature\"\ntake = \"{take}\"\nreason = \"the yard says so\"\n")
}

fn refused(text: &str, documents: &[&str]) -> (&'static str, String, String) {
    let error = RuleSet::from_toml_with(text, documents).unwrap_err();
    (error.code(), error.place().as_str().to_owned(), error.to_string())
}

fn of(construction: &str, material: &str) -> Facts {
    Facts::new().word("construction", construction).word("material", material)
}

fn celsius(answer: &Answer) -> f64 {
    answer.value().unwrap_or_else(|| panic!("{answer:?}")) - 273.15
}

#[test]
fn the_first_document_speaks_or_the_severest() {
    let a = document("a", &[&hot("webs of a", "{ construction = \"web\" }", 100.0)]);
    let b = document(
        "b",
        &[
            &hot("webs of b", "{ construction = \"web\" }", 80.0),
            &hot("ropes of b", "{ construction = \"wire rope\" }", 90.0),
        ],
    );
    let texts = [a.as_str(), b.as_str()];
    let ask = |order: &[&str], take: &str, construction: &str| {
        let text = format!("{HEAD}{}{}", includes(order), precedence(take));
        let rules = RuleSet::from_toml_with(&text, &texts).unwrap();
        rules.ask(Question::HighestTemperature, &of(construction, "polyester"))
    };
    let near = |answer: &Answer, expected: f64| assert!((celsius(answer) - expected).abs() < 1e-9, "{answer:?}");
    near(&ask(&["a", "b"], "first", "web"), 100.0);
    near(&ask(&["b", "a"], "first", "web"), 80.0);
    near(&ask(&["a", "b"], "first", "wire rope"), 90.0);
    for order in [["a", "b"], ["b", "a"]] {
        let severest = ask(&order, "severest", "web");
        near(&severest, 80.0);
        let term = severest.term().unwrap();
        assert_eq!(term.source.document, "instruction b");
        let [branch] = term.not_taken.as_slice() else { panic!("{term:?}") };
        assert_eq!((branch.name.as_str(), branch.source.document.as_str()), ("webs of a", "instruction a"));
        assert!((branch.value - 373.15).abs() < 1e-9);
        let why = term.inputs.iter().find(|input| input.name == "precedence").unwrap();
        assert_eq!(why.value, "the severest document: the yard says so");
    }
    assert_eq!(ask(&["a", "b"], "severest", "chain"), Answer::Silent);
}

#[test]
fn of_a_question_whose_greater_answer_is_the_severer_the_greater_is_taken() {
    let factor = |name: &str, value: f64| {
        document(
            name,
            &[&format!(
                "answers = \"design factor\"\nname = \"factor of {name}\"\nrelation = \"constant\"\nvalue = {value:?}"
            )],
        )
    };
    let (a, b) = (factor("a", 5.0), factor("b", 7.0));
    let text = format!(
        "{HEAD}{}[[precedence]]\nanswers = \"design factor\"\ntake = \"severest\"\nreason = \"both hold\"\n",
        includes(&["a", "b"])
    );
    let rules = RuleSet::from_toml_with(&text, &[&a, &b]).unwrap();
    assert_eq!(rules.ask(Question::DesignFactor, &Facts::new()).value(), Some(7.0));
}

#[test]
fn the_severest_is_not_told_where_one_of_the_documents_cannot_say() {
    let plain = document("plain", &[&hot("webs", "{ construction = \"web\" }", 100.0)]);
    let withheld = document(
        "open",
        &[
            "answers = \"highest temperature\"\nname = \"not read\"\nwhen = { construction = \"web\" }\nrelation = \"withheld\"\nwhy = \"not seen\"",
        ],
    );
    let by_material =
        document("open", &[&hot("polyester", "{ construction = \"web\", material = \"polyester\" }", 80.0)]);
    let narrow = document(
        "open",
        &[
            "answers = \"highest temperature\"\nname = \"wide webs\"\nwhen = { construction = \"web\" }\ninput = [{ fact = \"sling width\", unit = \"mm\", at_most = 100 }]\nrelation = \"constant\"\nvalue = 80\nunit = \"degC\"",
        ],
    );
    let web = Facts::new().word("construction", "web");
    for order in [["plain", "open"], ["open", "plain"]] {
        let ask = |open: &str, facts: &Facts| {
            let text = format!("{HEAD}{}{}", includes(&order), precedence("severest"));
            let rules = RuleSet::from_toml_with(&text, &[&plain, open]).unwrap();
            rules.ask(Question::HighestTemperature, facts)
        };
        assert!(matches!(ask(&withheld, &web), Answer::Withheld { .. }));
        assert!(matches!(ask(&by_material, &web), Answer::Missing { .. }));
        assert!((celsius(&ask(&by_material, &web.clone().word("material", "nylon"))) - 100.0).abs() < 1e-9);
        assert!(matches!(ask(&narrow, &web.clone().number("sling width", 200.0, "mm")), Answer::OutsideRange { .. }));
    }
}

#[test]
fn an_exclusion_of_a_document_excludes_its_own_rules_and_one_of_the_file_all() {
    let exclude = |name: &str, gear: &str| {
        format!(
            "answers = \"applies to gear\"\nname = \"{name}\"\nwhen = {{ construction = \"{gear}\" }}\nrelation = \"does not apply\"\nwhy = \"not for {gear}\""
        )
    };
    let ropes = document(
        "ropes",
        &[&exclude("no webs", "web"), &hot("all but webs", "{ material = [\"polyester\", \"steel\"] }", 100.0)],
    );
    let webs = document(
        "webs",
        &[&exclude("no ropes", "wire rope"), &hot("webs", "{ construction = [\"web\", \"wire rope\"] }", 80.0)],
    );
    let text = format!("{HEAD}{}{}", includes(&["ropes", "webs"]), precedence("first"));
    let rules = RuleSet::from_toml_with(&text, &[&ropes, &webs]).unwrap();
    let ask = |rules: &RuleSet, construction| rules.ask(Question::HighestTemperature, &of(construction, "polyester"));
    assert!((celsius(&ask(&rules, "web")) - 80.0).abs() < 1e-9, "the document for ropes says nothing of webs");
    assert!((celsius(&ask(&rules, "wire rope")) - 100.0).abs() < 1e-9);
    let both = rules.ask(Question::DesignFactor, &of("web", "polyester"));
    assert_eq!(both, Answer::Silent, "a question that no document answers is silence, whatever is excluded");
    let only = format!("{HEAD}{}", includes(&["ropes"]));
    let only = RuleSet::from_toml_with(&only, &[&ropes]).unwrap();
    assert!(matches!(ask(&only, "web"), Answer::DoesNotApply { .. }));
    let own = format!(
        "{HEAD}[[source]]\nid = \"s\"\ndocument = \"the set\"\nstanding = \"stated\"\n[[rule]]\nsource = \"s\"\nclause = \"1\"\n{}\n{}{}",
        exclude("no webs here", "web"),
        includes(&["ropes", "webs"]),
        precedence("first")
    );
    let own = RuleSet::from_toml_with(&own, &[&ropes, &webs]).unwrap();
    let Answer::DoesNotApply { source, .. } = ask(&own, "web") else { panic!("{:?}", ask(&own, "web")) };
    assert_eq!(source.document, "the set");
    assert!((celsius(&ask(&own, "wire rope")) - 100.0).abs() < 1e-9);
    let left_out = format!("{HEAD}[[include]]\ndocument = \"ropes\"\nscope = \"left out\"\n");
    let left_out = RuleSet::from_toml_with(&left_out, &[&ropes]).unwrap();
    assert!((celsius(&ask(&left_out, "web")) - 100.0).abs() < 1e-9);
}

#[test]
fn a_set_governs_no_place_that_one_of_its_documents_excludes_or_does_not_name() {
    let place = |name: &str, word: &str, relation: &str| {
        format!(
            "answers = \"applies to place\"\nname = \"{name}\"\nwhen = {{ place = \"{word}\" }}\nrelation = \"{relation}\"\n{}",
            if relation == "applies" { "" } else { "why = \"excluded\"" }
        )
    };
    let land = document("land", &[&place("land", "onshore", "applies"), &place("sea", "offshore", "does not apply")]);
    let sea = document("sea", &[&place("sea", "offshore", "applies"), &place("land too", "onshore", "applies")]);
    let shore = document("shore", &[&place("shore", "inshore", "applies")]);
    let bare = document("bare", &[&hot("webs", "{ construction = \"web\" }", 80.0)]);
    let ask = |names: &[&str], own: &str, word: &str| {
        let text = format!("{HEAD}{own}{}", includes(names));
        let rules = RuleSet::from_toml_with(&text, &[&land, &sea, &shore, &bare]).unwrap();
        rules.ask(Question::AppliesToPlace, &Facts::new().word("place", word))
    };
    assert!(matches!(ask(&["land", "sea"], "", "onshore"), Answer::Speaks(_)));
    assert!(matches!(ask(&["sea", "land"], "", "offshore"), Answer::DoesNotApply { .. }));
    assert!(matches!(ask(&["sea", "bare"], "", "offshore"), Answer::Speaks(_)), "no word on places is no exclusion");
    assert_eq!(ask(&["sea", "shore"], "", "onshore"), Answer::Silent, "one of them names places, and not this one");
    assert_eq!(ask(&["bare"], "", "onshore"), Answer::Silent);
    let own = format!(
        "[[source]]\nid = \"s\"\ndocument = \"the set\"\nstanding = \"stated\"\n[[rule]]\nsource = \"s\"\nclause = \"1\"\n{}\n",
        place("said by the set", "onshore", "applies")
    );
    assert!(matches!(ask(&["sea", "shore"], &own, "onshore"), Answer::Speaks(_)), "the file's own word goes first");
}

#[test]
fn two_documents_on_one_question_without_precedence_are_refused_by_name() {
    let a = document("a", &[&hot("webs of a", "{ construction = \"web\" }", 100.0)]);
    let b = document("b", &[&hot("all of b", "{ material = \"polyester\" }", 80.0)]);
    let apart = document("b", &[&hot("ropes of b", "{ construction = \"wire rope\" }", 80.0)]);
    let rows = document(
        "b",
        &[
            "answers = \"highest temperature\"\nname = \"rows of b\"\nrelation = \"table\"\nrows = \"construction\"\ncells = [[\"chain\", 80], [\"wire rope\", 70]]\nunit = \"degC\"",
        ],
    );
    let text = format!("{HEAD}{}", includes(&["a", "b"]));
    let (code, place, message) = refused(&text, &[&a, &b]);
    assert_eq!((code, place.as_str()), ("inconsistent", "/include/1"));
    for part in ["webs of a", "\"a\"", "all of b", "\"b\"", "highest temperature", "[[precedence]]", "severest"] {
        assert!(message.contains(part), "{message}");
    }
    for other in [&apart, &rows] {
        RuleSet::from_toml_with(&text, &[&a, other]).unwrap();
    }
    let own = format!(
        "{HEAD}[[source]]\nid = \"s\"\ndocument = \"the set\"\nstanding = \"stated\"\n[[rule]]\nsource = \"s\"\nclause = \"1\"\n{}\n{}",
        hot("of the set", "{ construction = \"web\" }", 120.0),
        includes(&["a"])
    );
    let (code, _, message) = refused(&own, &[&a]);
    assert_eq!(code, "inconsistent", "a rule of the file goes before no document unless it says so: {message}");
    assert!(message.contains("of the set") && message.contains("this file"), "{message}");
}

#[test]
fn what_cannot_be_put_together_is_refused_with_code_and_place() {
    let a = document(
        "a",
        &[
            &hot("some webs", "{ construction = \"web\", material = \"nylon\" }", 90.0),
            &hot("webs of a", "{ construction = \"web\" }", 100.0),
            "answers = \"marking\"\nname = \"mark\"\nrelation = \"words\"\nwords = [\"name\"]",
        ],
    );
    let b = document("b", &["answers = \"marking\"\nname = \"mark\"\nrelation = \"words\"\nwords = [\"mass\"]"]);
    let nested = format!("{}{}", HEAD.replace("\"set\"", "\"nested\""), includes(&["a"]));
    let bad = document("bad", &[&hot("webs", "{ construction = \"wep\" }", 100.0)]);
    let shadow = document("us-general", &[&hot("webs", "{ construction = \"web\" }", 100.0)]);
    let documents = [a.as_str(), &b, &nested, &bad];
    let mut tried = 0;
    let mut refuses = |body: &str, code: &str, at: &str| {
        let (found, place, message) = refused(&format!("{HEAD}{body}"), &documents);
        assert_eq!((found, place.as_str()), (code, at), "{body}: {message}");
        tried += 1;
    };
    refuses("[[include]]\n", "missing", "/include/0/document");
    refuses("include = []\n", "malformed", "/include");
    refuses("include = 3\n", "malformed", "/include");
    refuses(&includes(&["eu-en-1492-2"]), "unknown_name", "/include/0/document");
    refuses(&includes(&["a", "a"]), "duplicate_name", "/include/1/document");
    refuses(&includes(&["nested"]), "inconsistent", "/include/0/document");
    refuses(&includes(&["bad"]), "unknown_name", "/include/0/rule/0/when/construction");
    refuses("[[include]]\ndocument = \"a\"\nscope = \"dropped\"\n", "unknown_name", "/include/0/scope");
    refuses("[[include]]\ndocument = \"a\"\nanswers = \"markings\"\n", "unknown_name", "/include/0/answers");
    refuses("[[include]]\ndocument = \"a\"\nanswers = [\"design factor\"]\n", "inconsistent", "/include/0/answers/0");
    refuses("[[include]]\ndocument = \"a\"\nrules = \"webs of b\"\n", "unknown_name", "/include/0/rules");
    refuses("[[include]]\ndocument = \"a\"\nrules = \"webs of a\"\n", "inconsistent", "/include/0/rules");
    refuses("[[include]]\ndocument = \"a\"\nscopes = 1\n", "unknown_key", "/include/0/scopes");
    let two = includes(&["a", "b"]);
    refuses(
        &format!("{two}[[precedence]]\nanswers = \"marking\"\ntake = \"severest\"\nreason = \"x\"\n"),
        "inconsistent",
        "/precedence/0/answers",
    );
    refuses(
        &format!("{two}[[precedence]]\nanswers = \"marking\"\ntake = \"last\"\nreason = \"x\"\n"),
        "unknown_name",
        "/precedence/0/take",
    );
    refuses(
        &format!("{two}[[precedence]]\nanswers = \"marking\"\ntake = \"first\"\n"),
        "missing",
        "/precedence/0/reason",
    );
    refuses(
        &format!("{two}[[precedence]]\nanswers = \"marks\"\ntake = \"first\"\nreason = \"x\"\n"),
        "unknown_name",
        "/precedence/0/answers",
    );
    refuses(
        &format!("{two}[[precedence]]\nanswers = [\"marking\", \"marking\"]\ntake = \"first\"\nreason = \"x\"\n"),
        "duplicate_name",
        "/precedence/0/answers/1",
    );
    refuses(
        &format!("{two}[[precedence]]\nanswers = \"applies to gear\"\ntake = \"first\"\nreason = \"x\"\n"),
        "inconsistent",
        "/precedence/0/answers",
    );
    refuses(
        &format!(
            "{two}[[precedence]]\nanswers = [\"marking\", \"highest temperature\"]\ntake = \"first\"\nreason = \"x\"\n"
        ),
        "inconsistent",
        "/precedence/0/answers/1",
    );
    println!("{tried} malformed sets");
    let set = format!("{HEAD}{}", includes(&["a"]));
    assert_eq!(refused(&set, &[&a, &shadow]).0, "duplicate_name", "no text passes for a built-in document");
    assert_eq!(refused(&set, &[&a, &a]).1, "/documents/1/name");
    assert_eq!(refused(&set, &["name = "]).1, "/documents/0");
    assert_eq!(tried, 20);
}

#[test]
fn a_set_takes_single_questions_and_rules_and_keeps_their_scope() {
    let text = format!(
        "{HEAD}[[include]]\ndocument = \"eu-en-1492-1\"\nanswers = \"highest temperature\"\n[[include]]\ndocument = \"us-doe-1090-96\"\nrules = \"design factor of wire rope slings\"\n"
    );
    let rules = RuleSet::from_toml(&text).unwrap();
    let names: Vec<(&str, &str)> = rules.rule_sources().map(|(question, rule, _)| (question.name(), rule)).collect();
    assert_eq!(
        names,
        [
            ("applies to gear", "webbing slings of man-made fiber"),
            ("applies to gear", "webbing slings of other fibers"),
            ("highest temperature", "highest temperature of webbing slings"),
            ("applies to gear", "webbing slings of other fibers"),
            ("applies to gear", "slings and rigging accessories"),
            ("design factor", "design factor of wire rope slings"),
        ]
    );
    let said: Vec<(&str, &str)> =
        rules.documents().iter().map(|document| (document.name.as_str(), document.status.as_str())).collect();
    assert_eq!(
        said,
        [
            ("eu-en-1492-1", "in force"),
            ("us-doe-1090-96", "superseded by later revisions of DOE-STD-1090, which were not read")
        ]
    );
    assert_eq!(rules.sources().len(), 3);
    assert_eq!(rules.source_notes().count(), 3);
}

#[test]
fn the_hash_covers_what_is_included() {
    let a = document("a", &[&hot("webs", "{ construction = \"web\" }", 100.0)]);
    let set = format!("{HEAD}{}", includes(&["a"]));
    let hash = |set: &str, a: &str| RuleSet::from_toml_with(set, &[a]).unwrap().hash().clone();
    assert_eq!(hash(&set, &a), hash(&format!("# a remark\n{set}"), &a));
    assert_ne!(hash(&set, &a), hash(&set, &a.replace("100.0", "101.0")));
    assert_ne!(hash(&set, &a), hash(&set.replace("2025", "2026"), &a));
    let identity = |name: &str| -> DocumentIdentity {
        let rules = RuleSet::from_toml(&format!("{HEAD}{}", includes(&[name]))).unwrap();
        rules.documents()[0].clone()
    };
    for name in ["us-general", "eu-en-818-4"] {
        let alone = RuleSet::built_in(name).unwrap();
        assert_eq!(&identity(name).hash, alone.hash(), "a document bears the hash it has by itself");
        assert_eq!(identity(name).edition, *alone.edition());
    }
}

#[test]
fn a_document_alone_in_a_set_answers_as_by_itself() {
    let mut asked = 0;
    for name in RuleSet::document_names() {
        let alone = RuleSet::built_in(name).unwrap();
        let within = RuleSet::from_toml(&format!("{HEAD}{}", includes(&[name]))).unwrap();
        assert_eq!(alone.rule_sources().collect::<Vec<_>>(), within.rule_sources().collect::<Vec<_>>());
        for construction in ["web", "chain", "wire rope", "fiber rope", "roundsling", "shackle"] {
            for material in ["steel", "polyester", "HMPE"] {
                for place in ["onshore", "offshore"] {
                    let facts = of(construction, material).word("place", place).word("persons lifted", "no");
                    for question in Question::ALL {
                        let (one, other) = (alone.ask(*question, &facts), within.ask(*question, &facts));
                        asked += 1;
                        // A document that excludes the facts, and would say nothing, is silent within a set; and so is one that names
                        // gear, but not this.
                        let unnamed = alone.ask(Question::AppliesToGear, &facts) == Answer::Silent
                            && alone.rule_sources().any(|(question, ..)| question == Question::AppliesToGear);
                        if one != other {
                            assert!(
                                other == Answer::Silent && (unnamed || matches!(one, Answer::DoesNotApply { .. })),
                                "{name}: {question:?}"
                            );
                        }
                    }
                }
            }
        }
    }
    println!("{asked} questions");
}

#[test]
fn a_figure_without_gear_is_for_the_gear_that_its_document_names() {
    let applies = |construction: &str| {
        format!(
            "answers = \"applies to gear\"\nname = \"gear\"\nwhen = {{ construction = \"{construction}\" }}\nrelation = \"applies\""
        )
    };
    let choke = |name: &str, value: f64| {
        format!(
            "answers = \"hitch factor\"\nname = \"choke of {name}\"\nwhen = {{ hitch = \"choker\" }}\nrelation = \"constant\"\nvalue = {value:?}"
        )
    };
    let ropes = document("ropes", &[&applies("wire rope"), &choke("ropes", 0.75)]);
    let webs = document("webs", &[&applies("web")]);
    let any = document("any", &[&choke("any", 0.7)]);
    let marked = document(
        "marked",
        &[
            &applies("chain"),
            "answers = \"rating basis\"\nname = \"all gear\"\nrelation = \"words\"\nwords = [\"marked rating\"]",
        ],
    );
    let facts = |construction: &str| of(construction, "polyester").word("hitch", "choker");
    let ask = |text: &str, construction: &str| {
        let rules = RuleSet::from_toml_with(&format!("{HEAD}{text}"), &[&ropes, &webs, &any]).unwrap();
        assert!(rules.ask(Question::AppliesToGear, &facts("web")).ruled().is_some(), "the set names both");
        rules.ask(Question::HitchFactor, &facts(construction))
    };
    let both = includes(&["ropes", "webs"]);
    assert_eq!(ask(&both, "wire rope").value(), Some(0.75));
    assert_eq!(ask(&both, "web"), Answer::Silent, "the document of ropes names no webs");
    // A document that names no gear is for all; without its scope, as the file says, so is one that names some.
    for take in ["first", "severest"] {
        let order = precedence(take).replace("highest temperature", "hitch factor");
        assert_eq!(ask(&format!("{}{order}", includes(&["ropes", "webs", "any"])), "web").value(), Some(0.7), "{take}");
    }
    let left_out = "[[include]]\ndocument = \"webs\"\n[[include]]\ndocument = \"ropes\"\nscope = \"left out\"\n";
    assert_eq!(ask(left_out, "web").value(), Some(0.75));
    // What the file itself says is said of all gear that the set names.
    let own = format!(
        "[[source]]\nid = \"s\"\ndocument = \"instruction\"\nstanding = \"stated\"\n[[rule]]\nsource = \"s\"\nclause = \"1\"\n{}\n[[rule]]\nsource = \"s\"\nclause = \"1\"\n{}\n[[include]]\ndocument = \"webs\"\n",
        applies("wire rope"),
        choke("the yard", 0.6)
    );
    assert_eq!(ask(&own, "web").value(), Some(0.6));
    // A word is no figure: that gear works on its marking may be said of all gear.
    let text = format!("{HEAD}{}", includes(&["webs", "marked"]));
    let rules = RuleSet::from_toml_with(&text, &[&webs, &marked]).unwrap();
    assert_eq!(rules.ask(Question::RatingBasis, &facts("web")).word(), Some("marked rating"));
}

#[test]
fn a_handbook_on_ropes_does_not_rate_the_choke_of_a_roundsling() {
    let rules = RuleSet::from_toml(&format!("{HEAD}{}", includes(&["us-general", "us-navy"]))).unwrap();
    let choked = |construction: &str, material: &str| {
        rules.ask(
            Question::HitchFactor,
            &of(construction, material).word("hitch", "choker").number("angle from horizontal", 60.0, "deg"),
        )
    };
    for construction in ["roundsling", "web"] {
        assert_eq!(choked(construction, "polyester"), Answer::Silent, "{construction}");
    }
    assert!(choked("wire rope", "steel").value().is_some());
}
