//! Write your own rule set.
//!
//! A rule set is a text of TOML: what it is, where its figures stand, and rules. It loads through the same door as those
//! that come with the library, with the same checks. It supports the competent person and replaces nobody; local codes
//! and licensed practice prevail.
//!
//! # Begin with the template
//!
//! [`RuleSet::template`](crate::rules::RuleSet::template) is an invented set of an invented yard, with a comment at every part: what
//! the set is for, one value, a table with its range, a value that is withheld, a document that is included.
//!
//! ```
//! use rigging_core::rules::{Answer, Facts, Question, RuleSet};
//! let rules = RuleSet::from_toml(RuleSet::template())?;
//! let lift = |tonnes: f64| Facts::new().word("place", "onshore").number("gross weight", tonnes, "t");
//! assert_eq!(rules.ask(Question::DynamicFactor, &lift(3.0)).value(), Some(1.2));
//!
//! // Outside the range of a table the document has the word, not a guess.
//! let heavy = rules.ask(Question::DynamicFactor, &lift(12.5));
//! assert!(matches!(heavy, Answer::OutsideRange { policy, .. } if policy.contains("plan of their own")));
//!
//! // What no document answers is silence, and never a factor of 1.
//! assert_eq!(rules.ask(Question::SkewFactor, &lift(3.0)), Answer::Silent);
//!
//! // What the set excludes it does not answer at all.
//! let afloat = rules.ask(Question::DynamicFactor, &lift(3.0).word("place", "offshore"));
//! assert!(matches!(afloat, Answer::DoesNotApply { .. }));
//! # Ok::<(), rigging_core::error::Error>(())
//! ```
//!
//! # Let it be looked over
//!
//! [`lint`](fn@crate::rules::lint) tells everything that would keep the file from loading, and what loads and may still mislead: a value from
//! memory, a range without the document's words for what lies outside, a factor of 1 that may be no more than silence, a
//! temperature that would answer for any fiber. Each complaint has its line, why it matters and what to write.
//!
//! ```
//! use rigging_core::rules::{ComplaintCode, RuleSet, lint};
//! let careless = RuleSet::template()
//!     .replace("material = \"HMPE\" }\nrelation = \"constant\"", "material = \"HPME\" }\nrelation = \"constant\"")
//!     .replace(", policy = \"heavier lifts need a plan of their own\"", "");
//! let complaints = lint(&careless);
//! for complaint in &complaints {
//!     println!("{complaint}");
//! }
//! assert_eq!(complaints[0].code, ComplaintCode::UnknownName);
//! assert!(complaints[0].refused && complaints[0].write.contains("HMPE"));
//!
//! // Advice on the rules comes once the file loads.
//! let complaints = lint(&careless.replace("HPME", "HMPE"));
//! assert_eq!(complaints.iter().map(|complaint| complaint.code).collect::<Vec<_>>(), [ComplaintCode::NoPolicy]);
//! ```
//!
//! # Say how gear is rated
//!
//! The rule on `rating basis` decides which factors are asked for; where none speaks, the marked rating stands by itself.
//!
//! | basis | asked for, beside hitch and legs |
//! |---|---|
//! | `marked rating`, `table` | none of the factors below: the maker, or who made the table, has taken them into account |
//! | `breaking load divided by factor`, and a rule gives a `design factor` | the design factor; the worse of `termination efficiency` and `bending factor` |
//! | `breaking load divided by factor`, and no rule gives one | `load factor`, `consequence factor`, `termination factor`, `bending factor`, `reduction factor`, `wear factor`, `material factor`, `twist factor`, `nominal safety factor`, `least safety factor` |
//!
//! A factor that no basis of the set asks for changes no rating. The lint tells it, with the basis that would ask
//! ([`NeverAsked`](crate::rules::ComplaintCode::NeverAsked)), of a set that says for which operations, places and persons it is; a
//! document that others include leaves it to them how gear is rated.
//!
//! ```
//! use rigging_core::rules::{ComplaintCode, RuleSet, lint};
//! let worn = "[[rule]]\nanswers = \"wear factor\"\nname = \"worn gear\"\nrelation = \"constant\"\nvalue = 1.5\n\
//!             source = \"instruction\"\nclause = \"3.9\"\n";
//! // The template rates its gear by the marking.
//! let complaints = lint(&format!("{}\n{worn}", RuleSet::template()));
//! assert_eq!(complaints[0].code, ComplaintCode::NeverAsked);
//! assert!(complaints[0].what.contains("breaking load divided by factor"));
//! ```
//!
//! What no assessment heeds at all is told alike: an answer to a question that no check asks, and a rule under a word that no lift
//! states. Such a rule can be asked by itself.
//!
//! # Keep gear out of use
//!
//! Gear that the set does not name, or excludes ("does not apply"), is not covered: a report says so, and the marking of such gear
//! stands by itself. To forbid gear, name it among that to which the set applies and withhold its rating basis: then no
//! assessment concludes on a sling or fitting of that kind, in whatever hitch and whatever other rule gives it a figure. The lint
//! tells an exclusion of gear ([`MarkingStands`](crate::rules::ComplaintCode::MarkingStands)).
//!
//! ```
//! use rigging_core::arrangement::Lift;
//! use rigging_core::checks::Verdict;
//! use rigging_core::rules::RuleSet;
//! let banned = "[[rule]]\nanswers = \"rating basis\"\nname = \"no roundslings\"\nwhen = { construction = \"roundsling\" }\n\
//!               relation = \"withheld\"\nwhy = \"roundslings are not used in the yard\"\nsource = \"instruction\"\nclause = \"2.2\"\n";
//! // The first rule that speaks counts: it goes before the one for all gear.
//! let all = "[[rule]]\nanswers = \"rating basis\"";
//! let rules = RuleSet::from_toml(&RuleSet::template().replacen(all, &format!("{banned}\n{all}"), 1))?;
//! let skid = include_str!("../../../examples/lifts/generator-skid.json");
//! // The template has dynamic factors up to 12 t.
//! let lift = Lift::from_json(&skid.replace("18.5 t", "10 t"))?;
//! let assessment = lift.assess(&rules)?;
//! assert_eq!(assessment.verdict, Verdict::CannotConclude);
//! assert!(assessment.findings.iter().any(|finding| finding.text.contains("roundslings are not used in the yard")));
//! # Ok::<(), rigging_core::error::Error>(())
//! ```
//!
//! # Put documents together
//!
//! `[[include]]` takes a document that comes with the library, or one of your own that is handed over beside the set
//! ([`from_toml_with`](crate::rules::RuleSet::from_toml_with)). Where two documents answer one question under words that can both
//! be met, the file must say which governs; it is refused until it does. `"severest"` is the safe choice where the
//! question has a severer side: the other answers are told as branches not taken.
//!
//! ```
//! use rigging_core::rules::{RuleSet, lint};
//! let both = format!(
//!     "{}\n[[include]]\ndocument = \"us-general\"\nanswers = [\"highest temperature\"]\nscope = \"left out\"\n",
//!     RuleSet::template()
//! );
//! let refused = RuleSet::from_toml(&both).unwrap_err();
//! assert!(refused.to_string().contains("write [[precedence]]"));
//! let settled = format!(
//!     "{both}\n[[precedence]]\nanswers = \"highest temperature\"\ntake = \"severest\"\nreason = \"the yard keeps to both\"\n"
//! );
//! assert!(RuleSet::from_toml(&settled).is_ok() && lint(&settled).is_empty());
//! # Ok::<(), rigging_core::error::Error>(())
//! ```
//!
//! # Compare it with another
//!
//! [`difference`](fn@crate::rules::difference) tells which questions only one set answers, and which rules say something else, with both
//! sources beside each value. It tells as well what decides among the same rules: the order of those whose words can both be
//! met, which document governs, the documents and their order, edition and status. Run it before a new edition replaces an
//! old one.
//!
//! ```
//! use rigging_core::rules::{AnsweredBy, RuleSet, difference};
//! let old = RuleSet::from_toml(RuleSet::template())?;
//! let new = RuleSet::from_toml(&RuleSet::template().replace("value = 50", "value = 45"))?;
//! let parted = difference(&old, &new);
//! let detail = &parted.questions[0].rules[0].details[0];
//! assert_eq!((detail.one.as_deref(), detail.other.as_deref()), (Some("50 degC"), Some("45 degC")));
//! let law = difference(&old, &RuleSet::built_in("us-general")?);
//! assert!(law.questions.iter().any(|question| question.answered_by == AnsweredBy::Other));
//! # Ok::<(), rigging_core::error::Error>(())
//! ```
//!
//! # Use it
//!
//! ```
//! use rigging_core::arrangement::Lift;
//! use rigging_core::rules::RuleSet;
//! let lift = Lift::from_json(include_str!("../../../examples/lifts/generator-skid.json"))?;
//! let rules = RuleSet::from_toml(RuleSet::template())?;
//! let assessment = lift.assess(&rules)?;
//! assert_eq!(assessment.rules.name, "hollow-ford-2026");
//! assert_eq!(assessment.rules.documents[0].name, "eu-en-1492-1");
//! # Ok::<(), rigging_core::error::Error>(())
//! ```
//!
//! In Python:
//!
//! ```python
//! from rigging_py import Lift, RuleSet
//! text = RuleSet.template()
//! for complaint in RuleSet.lint(text):
//!     print(complaint["line"], complaint["what"], complaint["write"])
//! rules = RuleSet.from_toml(text)
//! print(rules.difference(RuleSet.built_in("us-general"))["questions"][0]["question"])
//! print(Lift.demo("generator-skid").assess(rules).verdict)
//! ```
//!
//! In C:
//!
//! ```c
//! rigging_answer *complaints = NULL; /* a JSON array of records: rigging_answer_text */
//! status = rigging_rules_lint(text, text_length, NULL, 0, &complaints, &error);
//! rigging_rule_set *rules = NULL;
//! status = rigging_rule_set_from_toml(text, text_length, &rules, &error);
//! ```
//!
//! An editor that knows JSON Schema completes and checks rule files with `rigging-core/schema/rules.schema.json`.
