/*
 * Load distribution, capacity derating and assessment of multi-leg lifts.
 *
 * Results support, and never replace, the planning of the competent person; local codes and licensed practice prevail.
 *
 * Errors. Every function that can fail returns a status (RIGGING_OK or another) and takes a rigging_error last, which
 * may be NULL and is written only on failure. Outputs are written only on success. A load that hangs unstably and a check
 * that fails are results, not errors.
 *
 * Handles (rigging_lift, rigging_rule_set, rigging_certificate, rigging_assessment, rigging_balance, rigging_answer,
 * rigging_sharing_rule) never change once they are made, so threads may share them without locks. The caller frees each by
 * its own function, which takes NULL too; none needs the handles it was made from. A rigging_leg_set is lent to a rule of the
 * caller's own for one call.
 *
 * Texts are UTF-8. What goes in has a length and is borrowed for the call. A document comes out in two calls: with a NULL
 * buffer for its length, then with a buffer of one byte more. A rigging_text is lent by the handle it was asked of.
 *
 * Structs that the library fills begin with struct_size: call the struct's _init function once before its first use.
 * New fields are only added at the end, and the library never writes beyond struct_size. What is not told is NaN or
 * NULL, beside a has_ field that is 0.
 *
 * Units are SI and stand at the end of a name: _n newtons, _m meters, _n_m newton meters, _j joules, _rad radians. Pointers
 * may not be NULL unless it says so.
 *
 * This file is generated from the Rust sources; a test compares it.
 */

#ifndef RIGGING_H
#define RIGGING_H

#include <stddef.h>
#include <stdint.h>

/**
 * The call succeeded.
 */
#define RIGGING_OK 0

/**
 * A value lies outside the range in which the calculation means anything.
 */
#define RIGGING_OUT_OF_DOMAIN 1

/**
 * An input that the calculation needs is absent or stated as unknown.
 */
#define RIGGING_MISSING 2

/**
 * The input is sound, but this library does not calculate it.
 */
#define RIGGING_UNSUPPORTED 3

/**
 * Parts of the input contradict each other.
 */
#define RIGGING_INCONSISTENT 4

/**
 * Two items of one kind carry the same name.
 */
#define RIGGING_DUPLICATE_NAME 5

/**
 * A name refers to nothing.
 */
#define RIGGING_UNKNOWN_NAME 6

/**
 * The text is not a document of the expected form.
 */
#define RIGGING_MALFORMED 7

/**
 * A key that the format does not have.
 */
#define RIGGING_UNKNOWN_KEY 8

/**
 * A key stands twice in one object.
 */
#define RIGGING_DUPLICATE_KEY 9

/**
 * A number without a unit where a dimension is needed.
 */
#define RIGGING_BARE_NUMBER 10

/**
 * A unit that means several things, or an angle that does not say from where.
 */
#define RIGGING_AMBIGUOUS_UNIT 11

/**
 * A unit that is not known, or that belongs to another quantity.
 */
#define RIGGING_WRONG_UNIT 12

/**
 * The document is of a newer format than this library reads.
 */
#define RIGGING_NEWER_FORMAT 13

/**
 * A text, list or document exceeds its limit of size or depth.
 */
#define RIGGING_TOO_LARGE 14

/**
 * The iteration ended without a state that could be certified: a defect of the library, worth reporting.
 */
#define RIGGING_UNCONVERGED 15

/**
 * An argument that may not be null is null.
 */
#define RIGGING_NULL_ARGUMENT 100

/**
 * A text is not UTF-8.
 */
#define RIGGING_NOT_UTF8 101

/**
 * The caller's buffer is too small; ask for the length first.
 */
#define RIGGING_BUFFER_TOO_SMALL 102

/**
 * The library stopped inside a calculation: a defect of the library, worth reporting. Nothing was written.
 */
#define RIGGING_INTERNAL 103

/**
 * The `struct_size` of a struct is smaller than the struct ever was: it was not initialized.
 */
#define RIGGING_WRONG_SIZE 104

/**
 * An array does not have as many elements as there are values.
 */
#define RIGGING_WRONG_COUNT 105

/**
 * An index beyond the last item, or a part that is not there.
 */
#define RIGGING_NO_SUCH_ITEM 106

/**
 * Size of `rigging_error.message` in bytes, the closing zero included.
 */
#define RIGGING_MESSAGE_SIZE 1024

/**
 * Size of `rigging_error.place` in bytes, the closing zero included.
 */
#define RIGGING_PLACE_SIZE 512

/**
 * Version of the binary interface that this header describes. A program compares it with `rigging_abi_version()`
 * before its first other call.
 */
#define RIGGING_ABI_VERSION 0

/**
 * A minimum of the potential energy, reached from the attitude as drawn without turning past 90 degrees.
 */
#define RIGGING_STATE_STABLE 0

/**
 * As stable, but the pose may drift without resistance in a way other than turning about the plumb line.
 */
#define RIGGING_STATE_NEUTRAL 1

/**
 * A balance that any disturbance ends; `rigging_certificate_destination` tells where the load would go.
 */
#define RIGGING_STATE_UNSTABLE 2

/**
 * No equilibrium on the way from the attitude as drawn: pose and tensions are those of where the load turns over.
 */
#define RIGGING_STATE_LOST 3

/**
 * The largest ratio of a leg's worst tension to its own nominal one.
 */
#define RIGGING_MEASURE_OWN 0

/**
 * The largest worst tension of any leg over the largest nominal one of any.
 */
#define RIGGING_MEASURE_LARGEST 1

/**
 * The `state` of a row that was not solved; that of any other is one of `RIGGING_STATE_…`.
 */
#define RIGGING_STATE_NOT_SOLVED -1

/**
 * Unstretched length of a leg, m.
 */
#define RIGGING_INPUT_LENGTH 0

/**
 * Factor on the stiffness of a leg.
 */
#define RIGGING_INPUT_STIFFNESS 1

/**
 * A coordinate of the center of gravity, m: the index is 0, 1, 2 for x, y, z of the load, and three more for each body after
 * it.
 */
#define RIGGING_INPUT_CENTER 2

/**
 * Weight of the load, N; the index is not looked at.
 */
#define RIGGING_INPUT_WEIGHT 3

/**
 * Height of a hook in the world, m. That of a single hook changes nothing.
 */
#define RIGGING_INPUT_HOOK 4

/**
 * Weight of a body, N; the load is the first.
 */
#define RIGGING_INPUT_BODY_WEIGHT 5

/**
 * Two parameters: least, most.
 */
#define RIGGING_DISTRIBUTION_UNIFORM 0

/**
 * Two parameters: mean, standard deviation.
 */
#define RIGGING_DISTRIBUTION_NORMAL 1

/**
 * Four parameters: mean and standard deviation before the ends are cut, least, most.
 */
#define RIGGING_DISTRIBUTION_TRUNCATED_NORMAL 2

/**
 * Three parameters: least, mode, most.
 */
#define RIGGING_DISTRIBUTION_TRIANGULAR 3

/**
 * Any number of parameters: the values of a sample, each as likely as the others.
 */
#define RIGGING_DISTRIBUTION_OBSERVED 4

/**
 * What is asked of the item.
 */
#define RIGGING_SIDE_DEMAND 0

/**
 * What the item may bear.
 */
#define RIGGING_SIDE_CAPACITY 1

/**
 * The first value: nothing is done yet.
 */
#define RIGGING_OPERATION_BASE 0

/**
 * The running value is multiplied by the step's value.
 */
#define RIGGING_OPERATION_TIMES 1

/**
 * The running value is divided by the step's value.
 */
#define RIGGING_OPERATION_DIVIDED_BY 2

/**
 * The step's value is added.
 */
#define RIGGING_OPERATION_PLUS 3

/**
 * The greater of running value and step's value.
 */
#define RIGGING_OPERATION_GREATEST_OF 4

/**
 * The lesser of running value and step's value.
 */
#define RIGGING_OPERATION_LEAST_OF 5

/**
 * The running value enters a mechanical calculation whose outcome is the step's value.
 */
#define RIGGING_OPERATION_BECOMES 6

/**
 * The base, which acts on nothing.
 */
#define RIGGING_ACTS_NOT 0

/**
 * On weight, before the equilibrium is solved: it changes stretch and sharing.
 */
#define RIGGING_ACTS_ON_WEIGHT 1

/**
 * On a force or a strength, after it.
 */
#define RIGGING_ACTS_ON_FORCE 2

/**
 * Demand does not exceed capacity, or the requirement is met.
 */
#define RIGGING_VERDICT_PASS 0

/**
 * Demand exceeds capacity, or the requirement is not met.
 */
#define RIGGING_VERDICT_FAIL 1

/**
 * An input is missing: the findings say which.
 */
#define RIGGING_VERDICT_CANNOT_CONCLUDE 2

/**
 * The rule set is silent here, or does not apply: of a finding only, never of a lift.
 */
#define RIGGING_VERDICT_NOT_COVERED 3

/**
 * The load can fall or turn over.
 */
#define RIGGING_SEVERITY_GRAVE 0

/**
 * Gear, load or lift point can be harmed.
 */
#define RIGGING_SEVERITY_SERIOUS 1

/**
 * Nothing by itself; it is stated so that nobody takes it for granted.
 */
#define RIGGING_SEVERITY_NOTICE 2

/**
 * The inputs that are missing would: see `rigging_assessment_remedy_missing`.
 */
#define RIGGING_REMEDY_ADD 0

/**
 * A failing strength passes at the figures told, one or the other.
 */
#define RIGGING_REMEDY_PASSES 1

/**
 * A passing strength holds up to the figures told.
 */
#define RIGGING_REMEDY_HOLDS 2

/**
 * Nothing in figures; `text` says it in words.
 */
#define RIGGING_REMEDY_OTHER 3

/**
 * An answer about a balance or a lift. It does not change; threads may share it.
 */
typedef struct rigging_answer rigging_answer;

/**
 * The outcome of an assessment: verdict, findings, figures of the legs. It does not change; threads may share it.
 */
typedef struct rigging_assessment rigging_assessment;

/**
 * A lift that hangs at its stated mass, nominal lengths and center of gravity, ready for questions. It does not change;
 * threads may share it.
 */
typedef struct rigging_balance rigging_balance;

/**
 * A solved equilibrium: pose, tensions and the proof that they balance. It does not change; threads may share it.
 */
typedef struct rigging_certificate rigging_certificate;

/**
 * A nominal load or arrangement, and what of it is uncertain. It does not change; threads may share it.
 */
typedef struct rigging_experiment rigging_experiment;

/**
 * One load under one hook, as a sharing rule sees it. It is lent to the rule for the time of the call, together with the
 * texts asked of it, and never freed by it.
 */
typedef struct rigging_leg_set rigging_leg_set;

/**
 * A checked lift document. It does not change; threads may share it.
 */
typedef struct rigging_lift rigging_lift;

/**
 * The verdicts of one lift under several rule sets, side by side. It does not change; threads may share it.
 */
typedef struct rigging_matrix rigging_matrix;

/**
 * A rule set. It does not change; threads may share it.
 */
typedef struct rigging_rule_set rigging_rule_set;

/**
 * A rule that shares a load among the legs it hangs on. It does not change; threads may share it as far as the context and
 * the function of an own rule allow.
 */
typedef struct rigging_sharing_rule rigging_sharing_rule;

/**
 * Why a call failed. The caller owns it; call `rigging_error_init` once before its first use. It is written only when a
 * call fails, and never beyond `struct_size` bytes. New fields will only be added at the end.
 */
typedef struct rigging_error {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * The status that the call returned.
   */
  int32_t code;
  /**
   * The reason: UTF-8, ends with a zero byte, cut between characters when it is too long.
   */
  char message[RIGGING_MESSAGE_SIZE];
  /**
   * The place in the document as a JSON pointer (RFC 6901), empty for the whole document: UTF-8, ends with a zero byte,
   * cut between characters when it is too long.
   */
  char place[RIGGING_PLACE_SIZE];
} rigging_error;

/**
 * A text that is lent by the library: `length` bytes of UTF-8, **not** ended by a zero byte. Print it with
 * `printf("%.*s", (int)text.length, text.data)`. It belongs to the handle it was asked of and stays as it is until that
 * handle is freed; where no handle was given it stays for good. `data` is null where there is no such text.
 */
typedef struct rigging_text {
  /**
   * The first byte, or null.
   */
  const char *data;
  /**
   * Number of bytes.
   */
  size_t length;
} rigging_text;

/**
 * Which rules these are.
 */
typedef struct rigging_rule_set_identity {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * Name by which the set is asked for.
   */
  struct rigging_text name;
  /**
   * What it is, in words.
   */
  struct rigging_text title;
  /**
   * Edition or date of the documents.
   */
  struct rigging_text edition;
  /**
   * "in force", or "superseded" and by what.
   */
  struct rigging_text status;
  /**
   * SHA-256 of the content in hexadecimal: layout, comments and the order of keys do not change it.
   */
  struct rigging_text hash;
  /**
   * A remark of the rule set about itself, or null.
   */
  struct rigging_text note;
} rigging_rule_set_identity;

/**
 * One leg of a set, from a point of the load to the hook.
 */
typedef struct rigging_set_leg {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * Name of the leg.
   */
  struct rigging_text name;
  /**
   * The point of the load, as drawn, in m.
   */
  double point_m[3];
  /**
   * Unstretched length, in m.
   */
  double length_m;
} rigging_set_leg;

/**
 * What a sharing rule says of itself.
 */
typedef struct rigging_sharing_words {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * 1 if it claims that no leg carries more than it says, within its domain. A claim is not a proof.
   */
  int32_t conservative;
  /**
   * Name.
   */
  struct rigging_text name;
  /**
   * When it applies; outside of it the rule refuses.
   */
  struct rigging_text domain;
  /**
   * The document it comes from.
   */
  struct rigging_text document;
  /**
   * The clause; empty where there is none.
   */
  struct rigging_text clause;
  /**
   * The edition; empty where there is none.
   */
  struct rigging_text edition;
} rigging_sharing_words;

/**
 * A sharing rule of the caller's own: its words, and the function that is asked. The texts are copied when the rule is made;
 * `context` is only handed on, and must live until the last handle made of the rule is freed. Call `rigging_own_rule_init`
 * once before its first use.
 *
 * `forces` fills `forces_n`, `count` forces in N in the order of the set, none below zero and each finite, and returns 0; any
 * other number is a refusal, and is told. It is called on the thread that asked for the comparison, the assessment or the
 * forces, and from several at once where several ask; it may call the functions of a `rigging_leg_set`, keeps neither the set
 * nor a text of it, and lets no exception of C++ out.
 */
typedef struct rigging_own_rule {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * 1 if the rule claims that no leg carries more than it says, within its domain; else 0.
   */
  int32_t conservative;
  /**
   * Name, and its length in bytes.
   */
  const char *name;
  /**
   * Length of `name`.
   */
  size_t name_length;
  /**
   * When the rule applies.
   */
  const char *domain;
  /**
   * Length of `domain`.
   */
  size_t domain_length;
  /**
   * Where the rule comes from.
   */
  const char *source;
  /**
   * Length of `source`.
   */
  size_t source_length;
  /**
   * Handed to `forces`; may be null.
   */
  void *context;
  /**
   * The forces of a set of legs.
   */
  int32_t (*forces)(void *context, const struct rigging_leg_set *set, double *forces_n, size_t count);
} rigging_own_rule;

/**
 * A certificate in figures.
 */
typedef struct rigging_certificate_figures {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * Kind of equilibrium: one of `RIGGING_STATE_…`.
   */
  int32_t state;
  /**
   * 1 if no other pose whatever has a lower potential energy, proven; 0 says nothing.
   */
  int32_t lowest;
  /**
   * 1 if `nearest_slack_member` and `nearest_slack_distance_m` are told.
   */
  int32_t has_nearest_slack_event;
  /**
   * Index of the member nearest to passing from taut to slack or back.
   */
  size_t nearest_slack_member;
  /**
   * How far its length is from the unstretched length, in m (not negative); NaN where it is not told.
   */
  double nearest_slack_distance_m;
  /**
   * Magnitude of the force that is left unbalanced, in N.
   */
  double residual_n;
  /**
   * The same over the weight of all bodies.
   */
  double residual_over_weight;
  /**
   * Number of bodies.
   */
  size_t body_count;
  /**
   * Number of members: the legs, in the order of the document.
   */
  size_t member_count;
  /**
   * Number of hooks.
   */
  size_t hook_count;
  /**
   * Number of eigenvalues.
   */
  size_t eigenvalue_count;
  /**
   * Number of negative eigenvalues.
   */
  size_t negative_modes;
  /**
   * Number of null modes, the free turn about the plumb line included: 1 for a sound single-hook lift.
   */
  size_t null_modes;
  /**
   * Steps taken.
   */
  size_t iterations;
  /**
   * 1 if `rigging_certificate_destination` tells where the load would go.
   */
  int32_t has_destination;
  /**
   * Number of joints.
   */
  size_t joint_count;
  /**
   * Magnitude of the largest moment about its center of gravity that is left unbalanced on a body, in N·m.
   */
  double residual_moment_n_m;
  /**
   * Largest product of a member's tension and of its slack, in J: zero when no slack member carries anything.
   */
  double complementarity_j;
} rigging_certificate_figures;

/**
 * Where a body hangs. The turn about the plumb line is free under one hook; it is left as drawn. World z is up.
 */
typedef struct rigging_pose {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * Center of gravity in the world, in m: x, y, z.
   */
  double center_of_gravity_m[3];
  /**
   * Origin of the body's frame in the world, in m: x, y, z.
   */
  double position_m[3];
  /**
   * Unit quaternion that turns body coordinates into world coordinates: x, y, z, w.
   */
  double rotation[4];
  /**
   * The world's upward direction in the body's frame (unit vector): x, y, z.
   */
  double up_in_body[3];
  /**
   * Angle between the world's upward direction and the upward direction of the body as drawn, in rad, 0 to π.
   */
  double tilt_rad;
  /**
   * Position of the hook in the body's frame, in m: x, y, z.
   */
  double hook_in_body_m[3];
} rigging_pose;

/**
 * A member (a leg) in the equilibrium.
 */
typedef struct rigging_member {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * 1 if the member carries nothing.
   */
  int32_t slack;
  /**
   * Tension, in N; zero when slack.
   */
  double tension_n;
  /**
   * Distance between the ends, in m.
   */
  double length_m;
  /**
   * (length − unstretched length) / unstretched length; negative when slack.
   */
  double strain;
  /**
   * Unit vector in the world from the last station of the leg toward its first; zero if the ends coincide: x, y, z.
   */
  double direction[3];
} rigging_member;

/**
 * A number on which the balance depends. The texts are lent by the balance.
 */
typedef struct rigging_parameter {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * What it is: length, axial_stiffness, law_scale, center_of_gravity, mass, hook_position.
   */
  struct rigging_text quantity;
  /**
   * Name of the leg, body or hook that it belongs to.
   */
  struct rigging_text item;
  /**
   * x, y or z where it is a coordinate; else null.
   */
  struct rigging_text axis;
  /**
   * Its unit: m, N, kg; empty for a pure number.
   */
  struct rigging_text unit;
} rigging_parameter;

/**
 * A value and how it came about, as a whole.
 */
typedef struct rigging_chain {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * What the final value is, in words.
   */
  struct rigging_text quantity;
  /**
   * The final value, in `unit`.
   */
  double value;
  /**
   * Its unit: SI; empty for a pure number.
   */
  struct rigging_text unit;
  /**
   * Number of steps, the base included: 1 or more.
   */
  size_t step_count;
} rigging_chain;

/**
 * The base of a chain, or one step.
 */
typedef struct rigging_step {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * What is done: one of `RIGGING_OPERATION_…`.
   */
  int32_t operation;
  /**
   * Whether it acts on weight or on force: one of `RIGGING_ACTS_…`.
   */
  int32_t acts;
  /**
   * Symbol, as the document prints it where it has one.
   */
  struct rigging_text symbol;
  /**
   * What the value is, in words.
   */
  struct rigging_text name;
  /**
   * The value that the operation takes, in `unit`.
   */
  double value;
  /**
   * Unit of `value`; empty for a pure number.
   */
  struct rigging_text unit;
  /**
   * The running value after the step, in `result_unit`.
   */
  double result;
  /**
   * Unit of `result`.
   */
  struct rigging_text result_unit;
  /**
   * Document that `value` comes from.
   */
  struct rigging_text source_document;
  /**
   * Clause; empty where the document is a whole.
   */
  struct rigging_text source_clause;
  /**
   * Edition; empty where none is stated.
   */
  struct rigging_text source_edition;
  /**
   * How the document was read, in words.
   */
  struct rigging_text source_standing;
  /**
   * Number of inputs that `value` was computed or looked up from: see `rigging_assessment_input`.
   */
  size_t input_count;
  /**
   * Number of alternatives not taken: see `rigging_assessment_branch`.
   */
  size_t branch_count;
} rigging_step;

/**
 * An input that a step's value was computed or looked up from.
 */
typedef struct rigging_input {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * Name, in words.
   */
  struct rigging_text name;
  /**
   * The value, printed with its unit, or a word.
   */
  struct rigging_text value;
} rigging_input;

/**
 * An alternative that was weighed and not taken.
 */
typedef struct rigging_branch {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * Symbol or name.
   */
  struct rigging_text name;
  /**
   * Its value, in the unit of the step's value.
   */
  double value;
  /**
   * Document that the value comes from.
   */
  struct rigging_text source_document;
  /**
   * Clause; empty where the document is a whole.
   */
  struct rigging_text source_clause;
  /**
   * Edition; empty where none is stated.
   */
  struct rigging_text source_edition;
  /**
   * How the document was read, in words.
   */
  struct rigging_text source_standing;
} rigging_branch;

/**
 * One leg in figures, every factor on weight included.
 */
typedef struct rigging_leg {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * 1 if `allowed_n` is told.
   */
  int32_t has_allowed;
  /**
   * 1 if `utilization` is told.
   */
  int32_t has_utilization;
  /**
   * Name of the leg.
   */
  struct rigging_text name;
  /**
   * Nominal tension, in N: never the verdict.
   */
  double nominal_n;
  /**
   * Largest tension over the vertices of the tolerances, in N: attained, not a bound. Where bounds are taken, the largest
   * that was found anywhere within the tolerances.
   */
  double worst_n;
  /**
   * Smallest tension over the vertices, in N.
   */
  double least_n;
  /**
   * Rated capacity in the comparison along the leg that uses most of it, in N; NaN where an item has none.
   */
  double allowed_n;
  /**
   * Largest utilization along the leg; NaN where an item has no capacity.
   */
  double utilization;
  /**
   * Largest angle from vertical over the vertices, in rad.
   */
  double angle_from_vertical_rad;
  /**
   * What stands against `allowed_n` in place of the worst, in N: a bound that is proven, the force by a sharing rule, that
   * at rest or of all legs at a point; NaN where it is the worst.
   */
  double taken_n;
} rigging_leg;

/**
 * What a verdict takes for granted.
 */
typedef struct rigging_assumption {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * Stable code, such as "rigid_load"; findings name the assumptions they rest on by it.
   */
  struct rigging_text code;
  /**
   * What is taken for granted, in a sentence.
   */
  struct rigging_text text;
} rigging_assumption;

/**
 * Outcome of one check on one item. Demand and capacity have chains: see `rigging_assessment_chain`.
 */
typedef struct rigging_finding {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * Outcome: one of `RIGGING_VERDICT_…`.
   */
  int32_t verdict;
  /**
   * What is at stake if the requirement is not met: one of `RIGGING_SEVERITY_…`.
   */
  int32_t severity;
  /**
   * 1 if `demand` is told.
   */
  int32_t has_demand;
  /**
   * 1 if `capacity` is told.
   */
  int32_t has_capacity;
  /**
   * 1 if `utilization` is told.
   */
  int32_t has_utilization;
  /**
   * Stable code of the check, such as "sling_strength".
   */
  struct rigging_text code;
  /**
   * Name of the item, or of the lift.
   */
  struct rigging_text item;
  /**
   * Where the item stands in the document: a JSON pointer, empty for the whole document.
   */
  struct rigging_text place;
  /**
   * The outcome in a sentence.
   */
  struct rigging_text text;
  /**
   * What is asked of the item, in `demand_unit`; NaN where it is not told.
   */
  double demand;
  /**
   * Unit of `demand`: SI, such as "N"; empty for a pure number, null where there is no demand.
   */
  struct rigging_text demand_unit;
  /**
   * What the item may bear, in `capacity_unit`; NaN where it is not told.
   */
  double capacity;
  /**
   * Unit of `capacity`; null where there is no capacity.
   */
  struct rigging_text capacity_unit;
  /**
   * Demand over capacity; NaN where it is not told.
   */
  double utilization;
  /**
   * Document of the clause that decides, or null.
   */
  struct rigging_text source_document;
  /**
   * The clause; empty where the document is a whole, null where no document decides.
   */
  struct rigging_text source_clause;
  /**
   * Edition; empty where none is stated, null where no document decides.
   */
  struct rigging_text source_edition;
  /**
   * How the document was read, in words, or null.
   */
  struct rigging_text source_standing;
  /**
   * Number of inputs that are missing: see `rigging_assessment_missing`.
   */
  size_t missing_count;
  /**
   * Number of assumptions that the outcome rests on: see `rigging_assessment_finding_assumption`.
   */
  size_t assumption_count;
} rigging_finding;

/**
 * An input that is not there, and the JSON that would give it.
 */
typedef struct rigging_missing_input {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * What it is.
   */
  struct rigging_text what;
  /**
   * The JSON to add.
   */
  struct rigging_text add;
  /**
   * Where to add it: a JSON pointer.
   */
  struct rigging_text place;
} rigging_missing_input;

/**
 * What would change the verdict.
 */
typedef struct rigging_remedy {
  /**
   * Size of this struct as the caller knows it, in bytes.
   */
  uint32_t struct_size;
  /**
   * One of `RIGGING_REMEDY_…`.
   */
  int32_t kind;
  /**
   * 1 if `length_tolerance_m` is told. Where it is not: a failing lift fails even with exact lengths, a passing one
   * holds beyond ten times the present tolerance.
   */
  int32_t has_length_tolerance;
  /**
   * 1 if `capacity_n` is told.
   */
  int32_t has_capacity;
  /**
   * The length tolerance, the same for every leg, at which the verdict turns, in m; NaN where it is not told.
   */
  double length_tolerance_m;
  /**
   * The capacity of the governing item at which its finding turns, in N; NaN where it is not told.
   */
  double capacity_n;
  /**
   * The remedy in words, or null where it is told in figures.
   */
  struct rigging_text text;
  /**
   * Number of inputs that are missing.
   */
  size_t missing_count;
} rigging_remedy;

/**
 * Whether to go on, asked now and then with what was done so far (trials of a search, cells of a survey); 0 ends the work, whose
 * answer then tells how far it got. `context` is handed on.
 */
typedef int32_t (*rigging_go_on)(void *context, size_t done);

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

/**
 * Empties an error and notes its size: `rigging_error_init(&error, sizeof error)`. A null `error` is left alone.
 *
 * Requires:
 * `error` is null or points to `size` bytes that may be written, aligned as `rigging_error` is.
 */
void rigging_error_init(struct rigging_error *error, size_t size);

/**
 * Name of a status, such as "missing", or "unknown_status" for a number that is none: never null, never freed.
 */
const char *rigging_status_name(int32_t status);

/**
 * Version of the binary interface of the library that is linked. It changes only when programs must be compiled anew.
 */
uint32_t rigging_abi_version(void);

/**
 * Version of the library, such as "0.1.0": UTF-8, ends with a zero byte, is never freed.
 */
const char *rigging_version(void);

/**
 * Reads a lift from a JSON text of `length` bytes and checks it. The handle is the caller's: free it with
 * `rigging_lift_free`. The text may go after the call. An error's `place` points into the text.
 *
 * Requires:
 * `text` has `length` bytes; `lift` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_from_json(const char *text,
                               size_t length,
                               struct rigging_lift **lift,
                               struct rigging_error *error);

/**
 * Writes the lift as a JSON document, values and units as entered. First call: a null `buffer` gives the `length` in
 * bytes; second call: a `buffer` of `length` + 1 bytes receives the text and a zero byte.
 *
 * Requires:
 * `lift` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_lift_to_json(const struct rigging_lift *lift,
                             char *buffer,
                             size_t capacity,
                             size_t *length,
                             struct rigging_error *error);

/**
 * Name of the lift.
 *
 * Requires:
 * `lift` is a handle; `name` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_name(const struct rigging_lift *lift, struct rigging_text *name, struct rigging_error *error);

/**
 * SHA-256 of the lift's canonical text in hexadecimal: layout and the order of keys in the document do not change it.
 * The text is lent by the lift.
 *
 * Requires:
 * `lift` is a handle; `hash` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_hash(const struct rigging_lift *lift, struct rigging_text *hash, struct rigging_error *error);

/**
 * Writes the canonical text of the lift, from which its hash is taken, in two calls as `rigging_lift_to_json`.
 *
 * Requires:
 * `lift` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_lift_canonical(const struct rigging_lift *lift,
                               char *buffer,
                               size_t capacity,
                               size_t *length,
                               struct rigging_error *error);

/**
 * Number of legs: the members of the lift's certificate, in the same order.
 *
 * Requires:
 * `lift` is a handle; `count` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_leg_count(const struct rigging_lift *lift, size_t *count, struct rigging_error *error);

/**
 * Name of a leg, by its index from 0.
 *
 * Requires:
 * `lift` is a handle; `name` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_leg_name(const struct rigging_lift *lift,
                              size_t leg,
                              struct rigging_text *name,
                              struct rigging_error *error);

/**
 * Frees a lift; null is allowed. Certificates and assessments made from it stay.
 *
 * Requires:
 * `lift` is null or a handle that has not been freed, and no thread uses it or a text it lent.
 */
void rigging_lift_free(struct rigging_lift *lift);

/**
 * Empties the struct and notes its size: `rigging_rule_set_identity_init(&identity, sizeof identity)`.
 *
 * Requires:
 * `identity` is null or points to `size` bytes that may be written.
 */
void rigging_rule_set_identity_init(struct rigging_rule_set_identity *identity, size_t size);

/**
 * Number of the rule sets that come with the library.
 */
size_t rigging_rule_set_built_in_count(void);

/**
 * Name of a rule set that comes with the library, by its index from 0; the text stays for good.
 *
 * Requires:
 * `name` may be written; `error` is null or initialized.
 */
int32_t rigging_rule_set_built_in_name(size_t index, struct rigging_text *name, struct rigging_error *error);

/**
 * A rule set that comes with the library, by its name of `length` bytes. The handle is the caller's: free it with
 * `rigging_rule_set_free`. `RIGGING_UNKNOWN_NAME` offers the nearest name.
 *
 * Requires:
 * `name` has `length` bytes; `rule_set` may be written; `error` is null or initialized.
 */
int32_t rigging_rule_set_built_in(const char *name,
                                  size_t length,
                                  struct rigging_rule_set **rule_set,
                                  struct rigging_error *error);

/**
 * Reads a rule set from a TOML text of `length` bytes. The handle is the caller's: free it with
 * `rigging_rule_set_free`. An error's `place` points into the text, such as `/rule/3/source`.
 *
 * Requires:
 * `text` has `length` bytes; `rule_set` may be written; `error` is null or initialized.
 */
int32_t rigging_rule_set_from_toml(const char *text,
                                   size_t length,
                                   struct rigging_rule_set **rule_set,
                                   struct rigging_error *error);

/**
 * As `rigging_rule_set_from_toml`, of a rule set that may include `count` `documents` beside those of the library: each the
 * TOML text of a rule file, known by the name it bears; null is allowed for none. A document's name that is the
 * library's is refused as `RIGGING_DUPLICATE_NAME`.
 *
 * Requires:
 * `text` has `length` bytes; `documents` has `count` texts; `rule_set` may be written; `error` is null or initialized.
 */
int32_t rigging_rule_set_from_toml_with(const char *text,
                                        size_t length,
                                        const struct rigging_text *documents,
                                        size_t count,
                                        struct rigging_rule_set **rule_set,
                                        struct rigging_error *error);

/**
 * Number of the single documents that come with the library; each can be had like a rule set, and be included in one.
 */
size_t rigging_rule_set_document_count(void);

/**
 * Name of a single document that comes with the library, by its index from 0; the text stays for good.
 *
 * Requires:
 * `name` may be written; `error` is null or initialized.
 */
int32_t rigging_rule_set_document_name(size_t index, struct rigging_text *name, struct rigging_error *error);

/**
 * A rule set to begin one's own with, as TOML: an invented one, about which `rigging_rules_lint` has nothing to say. The text
 * stays for good.
 *
 * Requires:
 * `text` may be written; `error` is null or initialized.
 */
int32_t rigging_rule_set_template(struct rigging_text *text,
                                  struct rigging_error *error);

/**
 * The rule files that a rule set includes, in their order: an answer with an array of records of name, title, edition, status,
 * hash and note; an empty one where the set stands by itself. Keys as in the committed schema of rule records.
 *
 * Requires:
 * `rule_set` is a handle; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_rule_set_documents(const struct rigging_rule_set *rule_set,
                                   struct rigging_answer **answer,
                                   struct rigging_error *error);

/**
 * Every complaint about a TOML text of `length` bytes as a rule file, with code, place, line, what is wrong, why it matters and
 * what to write; `refused` where the file does not load for it, else advice. An answer with an array of records, empty
 * where nothing is wrong. `documents` as in `rigging_rule_set_from_toml_with`. A text that is no rule file at all is no
 * error of this call.
 *
 * Requires:
 * `text` has `length` bytes; `documents` has `count` texts; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_rules_lint(const char *text,
                           size_t length,
                           const struct rigging_text *documents,
                           size_t count,
                           struct rigging_answer **answer,
                           struct rigging_error *error);

/**
 * What parts two rule sets: questions that only one answers, and rules that say something else, with both sources beside each
 * value. An answer; keys as in the committed schema of rule records.
 *
 * Requires:
 * `one` and `other` are handles; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_rules_difference(const struct rigging_rule_set *one,
                                 const struct rigging_rule_set *other,
                                 struct rigging_answer **answer,
                                 struct rigging_error *error);

/**
 * Which rules these are; the texts are lent by the rule set.
 *
 * Requires:
 * `rule_set` is a handle; `identity` is initialized; `error` is null or initialized.
 */
int32_t rigging_rule_set_identify(const struct rigging_rule_set *rule_set,
                                  struct rigging_rule_set_identity *identity,
                                  struct rigging_error *error);

/**
 * Frees a rule set; null is allowed. Assessments made under it stay.
 *
 * Requires:
 * `rule_set` is null or a handle that has not been freed, and no thread uses it or a text it lent.
 */
void rigging_rule_set_free(struct rigging_rule_set *rule_set);

/**
 * Empties the struct and notes its size: `rigging_set_leg_init(&leg, sizeof leg)`.
 *
 * Requires:
 * `leg` is null or points to `size` bytes that may be written.
 */
void rigging_set_leg_init(struct rigging_set_leg *leg, size_t size);

/**
 * Number of legs.
 *
 * Requires:
 * `set` is lent to a rule; `count` may be written; `error` is null or initialized.
 */
int32_t rigging_leg_set_count(const struct rigging_leg_set *set, size_t *count, struct rigging_error *error);

/**
 * Weight of the load, every factor on weight included, in N, and its center of gravity as drawn: three coordinates in m.
 * Either may be null.
 *
 * Requires:
 * `set` is lent to a rule; `weight_n` is null or may be written; `center_of_gravity_m` is null or has three elements;
 * `error` is null or initialized.
 */
int32_t rigging_leg_set_load(const struct rigging_leg_set *set,
                             double *weight_n,
                             double *center_of_gravity_m,
                             struct rigging_error *error);

/**
 * One leg, by its index from 0, in the order of the document. Its name is lent by the set.
 *
 * Requires:
 * `set` is lent to a rule; `leg` is initialized; `error` is null or initialized.
 */
int32_t rigging_leg_set_leg(const struct rigging_leg_set *set,
                            size_t index,
                            struct rigging_set_leg *leg,
                            struct rigging_error *error);

/**
 * Angle of each leg from vertical, in rad: the one stated, else as drawn with the hook plumb above the center of gravity and
 * the legs unstretched. `RIGGING_OUT_OF_DOMAIN` for a leg that does not reach the plumb line.
 *
 * Requires:
 * `set` is lent to a rule; `angles_rad` has `count` elements; `error` is null or initialized.
 */
int32_t rigging_leg_set_angles(const struct rigging_leg_set *set,
                               double *angles_rad,
                               size_t count,
                               struct rigging_error *error);

/**
 * How far the length of each leg may be off, in m, and each coordinate of the center of gravity (three elements; may be null).
 * `RIGGING_MISSING` where one is not known: an absent tolerance is not zero.
 *
 * Requires:
 * `set` is lent to a rule; `lengths_m` has `count` elements; `center_of_gravity_m` is null or has three; `error` is null or
 * initialized.
 */
int32_t rigging_leg_set_tolerances(const struct rigging_leg_set *set,
                                   double *lengths_m,
                                   size_t count,
                                   double *center_of_gravity_m,
                                   struct rigging_error *error);

/**
 * Tension of each leg at nominal numbers by the solver, in N. `RIGGING_MISSING` where a stiffness is not known,
 * `RIGGING_UNSUPPORTED` unless the balance is stable.
 *
 * Requires:
 * `set` is lent to a rule; `forces_n` has `count` elements; `error` is null or initialized.
 */
int32_t rigging_leg_set_elastic(const struct rigging_leg_set *set,
                                double *forces_n,
                                size_t count,
                                struct rigging_error *error);

/**
 * Empties the struct and notes its size: `rigging_sharing_words_init(&words, sizeof words)`.
 *
 * Requires:
 * `words` is null or points to `size` bytes that may be written.
 */
void rigging_sharing_words_init(struct rigging_sharing_words *words, size_t size);

/**
 * Number of the sharing rules that come with the library and need no number from the caller.
 *
 * Requires:
 * `count` may be written; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_built_in_count(size_t *count, struct rigging_error *error);

/**
 * One of them, by its index from 0; its words tell its name. The handle is the caller's: free it with
 * `rigging_sharing_rule_free`.
 *
 * Requires:
 * `rule` may be written; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_built_in_at(size_t index, struct rigging_sharing_rule **rule, struct rigging_error *error);

/**
 * One of them, by its name of `length` bytes, such as "two legs carry all". `RIGGING_UNKNOWN_NAME` offers the nearest name.
 *
 * Requires:
 * `name` has `length` bytes; `rule` may be written; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_built_in(const char *name,
                                      size_t length,
                                      struct rigging_sharing_rule **rule,
                                      struct rigging_error *error);

/**
 * The rule that gives each leg its bound over the tolerances, proven; it refuses where there is none. `gap` and `parts` are as
 * in `rigging_lift_assess_bounded`.
 *
 * Requires:
 * `rule` may be written; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_bounds(double gap,
                                    size_t parts,
                                    struct rigging_sharing_rule **rule,
                                    struct rigging_error *error);

/**
 * A skew factor on the forces of `base`, with the conditions and the source of the factor: there is no default, and a factor
 * holds only for what its source names. `RIGGING_OUT_OF_DOMAIN` for a factor below 1, `RIGGING_MISSING` for an empty text.
 * `base` may be freed before the new rule.
 *
 * Requires:
 * `base` is a handle; the texts have the lengths told in bytes; `rule` may be written; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_skewed(const struct rigging_sharing_rule *base,
                                    double factor,
                                    const char *conditions,
                                    size_t conditions_length,
                                    const char *source,
                                    size_t source_length,
                                    struct rigging_sharing_rule **rule,
                                    struct rigging_error *error);

/**
 * `base` at one angle from vertical for every leg, in rad, in place of those drawn; it claims nothing. `RIGGING_OUT_OF_DOMAIN`
 * unless the angle is from 0 to below a right angle. `base` may be freed before the new rule.
 *
 * Requires:
 * `base` is a handle; `rule` may be written; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_at_angle(const struct rigging_sharing_rule *base,
                                      double angle_from_vertical_rad,
                                      struct rigging_sharing_rule **rule,
                                      struct rigging_error *error);

/**
 * The skew factor that a rule set gives for the slings of `lift`, on the forces of `base`; it holds for that set of legs and for
 * no other. What a document does not state of its slings stands in `facts`, a JSON object of `facts_length` bytes such as
 * `{"rope lay": "single-laid", "mass per length": [5.8, "kg/m"]}`. `RIGGING_UNSUPPORTED` where a condition is not met, and which;
 * `RIGGING_MISSING` for a fact that decides and is not stated. Everything may be freed before the new rule.
 *
 * Requires:
 * `base`, `rule_set` and `lift` are handles; `facts` has `facts_length` bytes; `rule` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_sharing_rule_skewed_by_rule_set(const struct rigging_sharing_rule *base,
                                                const struct rigging_rule_set *rule_set,
                                                const struct rigging_lift *lift,
                                                const char *facts,
                                                size_t facts_length,
                                                struct rigging_sharing_rule **rule,
                                                struct rigging_error *error);

/**
 * The leg factor that a rule set gives for the slings of `lift`, at the angles of its legs; it holds for that set of legs and for
 * no other. What a document does not state of its slings stands in `facts`, a JSON object of `facts_length` bytes such as
 * `{"utilization": 0.7}`. `RIGGING_UNSUPPORTED` where a condition is not met, or no factor is given, and why; `RIGGING_MISSING` for
 * a fact that decides and is not stated; `RIGGING_OUT_OF_DOMAIN` for an angle beyond the table. Everything may be freed before
 * the new rule.
 *
 * Requires:
 * `rule_set` and `lift` are handles; `facts` has `facts_length` bytes; `rule` may be written; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_leg_factor_of_rule_set(const struct rigging_rule_set *rule_set,
                                                    const struct rigging_lift *lift,
                                                    const char *facts,
                                                    size_t facts_length,
                                                    struct rigging_sharing_rule **rule,
                                                    struct rigging_error *error);

/**
 * What the rule says of itself; the texts are lent by the rule.
 *
 * Requires:
 * `rule` is a handle; `words` is initialized; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_tell(const struct rigging_sharing_rule *rule,
                                  struct rigging_sharing_words *words,
                                  struct rigging_error *error);

/**
 * Force of each leg by the rule, in N, of a lift of one load under one hook at its stated mass. What the rule refuses is the
 * status; `RIGGING_OUT_OF_DOMAIN` for a force that is not finite or is below zero, and its place names the leg.
 *
 * Requires:
 * `rule` and `lift` are handles; `forces_n` has `count` elements; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_share(const struct rigging_sharing_rule *rule,
                                   const struct rigging_lift *lift,
                                   double *forces_n,
                                   size_t count,
                                   struct rigging_error *error);

/**
 * Frees a rule; null is allowed. Rules made of it stay.
 *
 * Requires:
 * `rule` is null or a handle that has not been freed, and no thread uses it or a text it lent.
 */
void rigging_sharing_rule_free(struct rigging_sharing_rule *rule);

/**
 * Empties the struct and notes its size: `rigging_own_rule_init(&own, sizeof own)`.
 *
 * Requires:
 * `own` is null or points to `size` bytes that may be written.
 */
void rigging_own_rule_init(struct rigging_own_rule *own, size_t size);

/**
 * A rule of the caller's own. The handle is the caller's: free it with `rigging_sharing_rule_free`. `RIGGING_NULL_ARGUMENT`
 * without a function, `RIGGING_OUT_OF_DOMAIN` for a claim that is neither 0 nor 1, `RIGGING_MISSING` for an empty text: a rule
 * says what it is called, when it applies and where it comes from.
 *
 * Requires:
 * `own` is initialized, its texts have the lengths told, and its function and context do as that struct says; `rule` may be
 * written; `error` is null or initialized.
 */
int32_t rigging_sharing_rule_own(const struct rigging_own_rule *own,
                                 struct rigging_sharing_rule **rule,
                                 struct rigging_error *error);

/**
 * One load under one hook, at its stated mass, under the sharing rules that are built in, against the elastic worst case over the
 * vertices of its tolerances, which is attained and no bound: for every rule its words (name, domain, source, whether it claims to
 * be conservative), force of each leg, how far that is below the worst (N), and the leg of which it covers the least; or why it
 * refuses. `angle_from_vertical_rad` is one angle for every leg, in rad, from 0 to below a right angle; null for the angles as
 * drawn. Ends with an answer, as `rigging_balance_derivatives`; its keys are those of the committed schema of a comparison.
 * `RIGGING_UNSUPPORTED` for another arrangement, or unless every balance is stable; `RIGGING_MISSING` for an input or a tolerance
 * that is not known; `RIGGING_OUT_OF_DOMAIN` for the angle. A rule that covers one lift is not proven for another.
 *
 * Requires:
 * `lift` is a handle; `angle_from_vertical_rad` is null or may be read; `answer` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_lift_compare_sharing(const struct rigging_lift *lift,
                                     const double *angle_from_vertical_rad,
                                     struct rigging_answer **answer,
                                     struct rigging_error *error);

/**
 * The same as `rigging_lift_compare_sharing` with `count` rules of the caller's choice, in that order, own ones among them;
 * null is allowed for none. A rule that refuses, and one whose answer is no force, stands in the answer with the reason.
 *
 * Requires:
 * `lift` is a handle; `rules` has `count` handles; `angle_from_vertical_rad` is null or may be read; `answer` may be written;
 * `error` is null or initialized.
 */
int32_t rigging_lift_compare_rules(const struct rigging_lift *lift,
                                   const struct rigging_sharing_rule *const *rules,
                                   size_t count,
                                   const double *angle_from_vertical_rad,
                                   struct rigging_answer **answer,
                                   struct rigging_error *error);

/**
 * Empties the struct and notes its size: `rigging_certificate_figures_init(&figures, sizeof figures)`.
 *
 * Requires:
 * `figures` is null or points to `size` bytes that may be written.
 */
void rigging_certificate_figures_init(struct rigging_certificate_figures *figures, size_t size);

/**
 * Empties the struct and notes its size: `rigging_pose_init(&pose, sizeof pose)`.
 *
 * Requires:
 * `pose` is null or points to `size` bytes that may be written.
 */
void rigging_pose_init(struct rigging_pose *pose, size_t size);

/**
 * Empties the struct and notes its size: `rigging_member_init(&member, sizeof member)`.
 *
 * Requires:
 * `member` is null or points to `size` bytes that may be written.
 */
void rigging_member_init(struct rigging_member *member, size_t size);

/**
 * Hangs the lift at its stated mass, nominal lengths and center of gravity. An unstable or lost equilibrium is a result,
 * not an error: see `state`. The handle is the caller's: free it with `rigging_certificate_free`. `RIGGING_MISSING` names
 * an input that statics needs.
 *
 * Requires:
 * `lift` is a handle; `certificate` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_solve(const struct rigging_lift *lift,
                           struct rigging_certificate **certificate,
                           struct rigging_error *error);

/**
 * The certificate in figures.
 *
 * Requires:
 * `certificate` is a handle; `figures` is initialized; `error` is null or initialized.
 */
int32_t rigging_certificate_tell(const struct rigging_certificate *certificate,
                                 struct rigging_certificate_figures *figures,
                                 struct rigging_error *error);

/**
 * Where a body hangs, by its index from 0: the load is body 0, the spreaders follow in the order of the document.
 *
 * Requires:
 * `certificate` is a handle; `pose` is initialized; `error` is null or initialized.
 */
int32_t rigging_certificate_pose(const struct rigging_certificate *certificate,
                                 size_t body,
                                 struct rigging_pose *pose,
                                 struct rigging_error *error);

/**
 * A member in the equilibrium, by the index of its leg from 0. A leg that passes over something between its ends has one
 * member for each span, in the order of its path; a span between two places of one body has none.
 *
 * Requires:
 * `certificate` is a handle; `member` is initialized; `error` is null or initialized.
 */
int32_t rigging_certificate_member(const struct rigging_certificate *certificate,
                                   size_t index,
                                   struct rigging_member *member,
                                   struct rigging_error *error);

/**
 * Tension of every member, in N, in the order of the legs and of their spans; `count` must be `member_count`.
 *
 * Requires:
 * `certificate` is a handle; `tensions_n` has `count` elements that may be written; `error` is null or initialized.
 */
int32_t rigging_certificate_tensions(const struct rigging_certificate *certificate,
                                     double *tensions_n,
                                     size_t count,
                                     struct rigging_error *error);

/**
 * Eigenvalues of the reduced Hessian of the potential energy, ascending, in N/m; `count` must be `eigenvalue_count`.
 * Under one hook it is that over the hook's position in the load's frame: three values, the turn about the plumb line
 * removed.
 *
 * Requires:
 * `certificate` is a handle; `eigenvalues_n_per_m` has `count` elements that may be written; `error` is null or
 * initialized.
 */
int32_t rigging_certificate_eigenvalues(const struct rigging_certificate *certificate,
                                        double *eigenvalues_n_per_m,
                                        size_t count,
                                        struct rigging_error *error);

/**
 * Force of the lift on a hook, in N, in the world: x, y, z; the hook by its index from 0.
 *
 * Requires:
 * `certificate` is a handle; `force_n` has 3 elements that may be written; `error` is null or initialized.
 */
int32_t rigging_certificate_hook_force(const struct rigging_certificate *certificate,
                                       size_t hook,
                                       double *force_n,
                                       struct rigging_error *error);

/**
 * Position of a joint in the world, in m: x, y, z; the joint by its index from 0, in the order of the document.
 *
 * Requires:
 * `certificate` is a handle; `position_m` has 3 elements that may be written; `error` is null or initialized.
 */
int32_t rigging_certificate_joint(const struct rigging_certificate *certificate,
                                  size_t joint,
                                  double *position_m,
                                  struct rigging_error *error);

/**
 * Where an unstable load would go, as a certificate of its own: free it with `rigging_certificate_free`.
 * `RIGGING_NO_SUCH_ITEM` unless `has_destination` is 1.
 *
 * Requires:
 * `certificate` is a handle; `destination` may be written; `error` is null or initialized.
 */
int32_t rigging_certificate_destination(const struct rigging_certificate *certificate,
                                        struct rigging_certificate **destination,
                                        struct rigging_error *error);

/**
 * Frees a certificate; null is allowed.
 *
 * Requires:
 * `certificate` is null or a handle that has not been freed, and no thread uses it.
 */
void rigging_certificate_free(struct rigging_certificate *certificate);

/**
 * Hangs the lift at its stated mass, nominal lengths and center of gravity, and keeps what the questions about its balance
 * need. An unstable or lost equilibrium is a result, not an error, but some questions are refused then. The handle is the
 * caller's: free it with `rigging_balance_free`. `RIGGING_MISSING` names an input that statics needs.
 *
 * Requires:
 * `lift` is a handle; `balance` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_hang(const struct rigging_lift *lift,
                          struct rigging_balance **balance,
                          struct rigging_error *error);

/**
 * The certificate of the balance, that of `rigging_lift_solve`, as a handle of its own: free it with
 * `rigging_certificate_free`.
 *
 * Requires:
 * `balance` is a handle; `certificate` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_certificate(const struct rigging_balance *balance,
                                    struct rigging_certificate **certificate,
                                    struct rigging_error *error);

/**
 * How the balance depends on every number it is made of: exact derivatives of the tensions (N), tilts (rad) and hook
 * forces (N) with respect to lengths (m), axial stiffnesses (N), centers of gravity (m), masses (kg) and hook positions
 * (m), and how far each number may change until a leg goes slack or taut. The answer is the caller's: free it with
 * `rigging_answer_free`. As numbers: `rigging_balance_tension_matrix`. `RIGGING_UNSUPPORTED` unless the balance is stable;
 * `RIGGING_OUT_OF_DOMAIN` if a leg stands just between taut and slack.
 *
 * Requires:
 * `balance` is a handle; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_derivatives(const struct rigging_balance *balance,
                                    struct rigging_answer **answer,
                                    struct rigging_error *error);

/**
 * How far each center of gravity may move and each leg may be longer or shorter, in m, until a leg goes slack or the load
 * is no longer stable, each change alone. Ends with an answer, as `rigging_balance_derivatives`. `RIGGING_UNSUPPORTED`
 * unless the balance is stable.
 *
 * Requires:
 * `balance` is a handle; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_margins(const struct rigging_balance *balance,
                                struct rigging_answer **answer,
                                struct rigging_error *error);

/**
 * What the loss of each leg, and of each point with all its legs, does to the rest: new tensions, tilt, energies, and what
 * is not exceeded on the way. `allowed_n` says what each leg may bear, in N, in the order of the legs, NaN where it is not
 * known; null with a `count` of 0 where utilizations are not asked for. Ends with an answer, as
 * `rigging_balance_derivatives`. `RIGGING_WRONG_COUNT` for another `count`; `RIGGING_OUT_OF_DOMAIN` for a force that is
 * not positive and finite; `RIGGING_UNSUPPORTED` unless the balance is stable or neutral.
 *
 * Requires:
 * `balance` is a handle; `allowed_n` has `count` elements; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_losses(const struct rigging_balance *balance,
                               const double *allowed_n,
                               size_t count,
                               struct rigging_answer **answer,
                               struct rigging_error *error);

/**
 * The motions that nothing resists, in words, free turns about plumb lines among them. Ends with an answer, as
 * `rigging_balance_derivatives`.
 *
 * Requires:
 * `balance` is a handle; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_motions(const struct rigging_balance *balance,
                                struct rigging_answer **answer,
                                struct rigging_error *error);

/**
 * The softest modes, free turns about plumb lines left out: all of them up to 48 unknowns (three for a joint, six for a
 * body), else `count`. Ends with an answer, as `rigging_balance_derivatives`.
 *
 * Requires:
 * `balance` is a handle; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_modes(const struct rigging_balance *balance,
                              size_t count,
                              struct rigging_answer **answer,
                              struct rigging_error *error);

/**
 * The states of self-stress: which legs must match in length, and what a length error does through them, in N/m.
 * `tolerance` is the singular value, over the largest, up to which a combination of legs counts as one: 1e-9 for what
 * geometry makes exact, more for legs that are nearly parallel. Ends with an answer, as `rigging_balance_derivatives`.
 * `RIGGING_OUT_OF_DOMAIN` unless the tolerance lies between 0 and 1.
 *
 * Requires:
 * `balance` is a handle; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_self_stress(const struct rigging_balance *balance,
                                    double tolerance,
                                    struct rigging_answer **answer,
                                    struct rigging_error *error);

/**
 * Which of the measured slings goes where, so that the largest change of a tension by self-stress is the least.
 * `errors_m` are the measured length errors, in m, in the order of the legs; `count` is their number; `tolerance` as in
 * `rigging_balance_self_stress`. Ends with an answer, as `rigging_balance_derivatives`. `RIGGING_WRONG_COUNT` unless there is
 * one error for each leg; `RIGGING_OUT_OF_DOMAIN` for an error that is not finite.
 *
 * Requires:
 * `balance` is a handle; `errors_m` has `count` elements; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_order(const struct rigging_balance *balance,
                              const double *errors_m,
                              size_t count,
                              double tolerance,
                              struct rigging_answer **answer,
                              struct rigging_error *error);

/**
 * The natural periods: all of them up to 48 unknowns (three for a joint, six for a body), else the `count` longest.
 *
 * `inputs` is a JSON text of `length` bytes: `{"inertias": […], "excitations": […]}`. An inertia is `{"moments": [x, y, z],
 * "products": [xy, xz, yz]}` in kg·m² about the body's center of gravity in the frame as drawn, one for each body, the load
 * first, then the spreaders; `products` may be left out where they are zero. An excitation is `{"name": …, "shortest": …,
 * "longest": …, "source": …}` with periods in s; `excitations` may be left out. Ends with an answer, as
 * `rigging_balance_derivatives`. An error's `place` points into the text. `RIGGING_INCONSISTENT` unless there is one inertia
 * for each body, and for one that no body can have; `RIGGING_OUT_OF_DOMAIN` for a principal moment that is not positive, or
 * a range of periods that is not positive and ascending; `RIGGING_UNSUPPORTED` for an unstable balance.
 *
 * Requires:
 * `balance` is a handle; `inputs` has `length` bytes; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_periods(const struct rigging_balance *balance,
                                const char *inputs,
                                size_t length,
                                size_t count,
                                struct rigging_answer **answer,
                                struct rigging_error *error);

/**
 * Other stable poses in which the lift could come to rest, lowest energy first: a search, and no proof that there are no
 * more. Ends with an answer, as `rigging_balance_derivatives`.
 *
 * Requires:
 * `balance` is a handle; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_others(const struct rigging_balance *balance,
                               struct rigging_answer **answer,
                               struct rigging_error *error);

/**
 * What the slings do that pass over something between their ends: tensions of every span without friction, held and in
 * the balance, in N; what each pulls on what it passes over, in N, and the angle by which it is turned there, in rad; least
 * and largest of both over the limits of sliding; whether friction holds it: free, holds, may_slide, slides, unknown. Ends
 * with an answer, as `rigging_balance_derivatives`. The other questions about the balance of a lift with such a leg are
 * refused with `RIGGING_UNSUPPORTED`.
 *
 * Requires:
 * `balance` is a handle; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_running(const struct rigging_balance *balance,
                                struct rigging_answer **answer,
                                struct rigging_error *error);

/**
 * The balance hung once more with the own weight of slings and fittings, half of each sling at either end of its leg: pull at
 * the upper and the lower end of each leg and on each hook, in N; what the sag shortens a leg by, in m, and what that adds, in
 * N. Ends with an answer, as `rigging_balance_derivatives`. `RIGGING_MISSING` for a mass that is not known;
 * `RIGGING_UNSUPPORTED` for a leg that ends at a joint or passes over something.
 *
 * Requires:
 * `balance` is a handle; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_own_weight(const struct rigging_balance *balance,
                                   struct rigging_answer **answer,
                                   struct rigging_error *error);

/**
 * Frees a balance; null is allowed. Certificates and answers made from it stay.
 *
 * Requires:
 * `balance` is null or a handle that has not been freed, and no thread uses it or a text it lent.
 */
void rigging_balance_free(struct rigging_balance *balance);

/**
 * The record as one line of JSON, in SI units; the committed schema of a balance, or that of a comparison, says what each
 * key means. The text is lent by the answer.
 *
 * Requires:
 * `answer` is a handle; `text` may be written; `error` is null or initialized.
 */
int32_t rigging_answer_text(const struct rigging_answer *answer,
                            struct rigging_text *text,
                            struct rigging_error *error);

/**
 * Frees an answer; null is allowed.
 *
 * Requires:
 * `answer` is null or a handle that has not been freed, and no thread uses it or a text it lent.
 */
void rigging_answer_free(struct rigging_answer *answer);

/**
 * Empties the struct and notes its size: `rigging_parameter_init(&parameter, sizeof parameter)`.
 *
 * Requires:
 * `parameter` is null or points to `size` bytes that may be written.
 */
void rigging_parameter_init(struct rigging_parameter *parameter, size_t size);

/**
 * Number of parameters: the rows of `rigging_balance_tension_matrix`. The derivatives are made when they are first asked
 * for; it fails as `rigging_balance_derivatives`.
 *
 * Requires:
 * `balance` is a handle; `count` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_parameter_count(const struct rigging_balance *balance,
                                        size_t *count,
                                        struct rigging_error *error);

/**
 * A parameter, by its index from 0: what a row of `rigging_balance_tension_matrix` is the derivative with respect to.
 *
 * Requires:
 * `balance` is a handle; `parameter` is initialized; `error` is null or initialized.
 */
int32_t rigging_balance_parameter(const struct rigging_balance *balance,
                                  size_t index,
                                  struct rigging_parameter *parameter,
                                  struct rigging_error *error);

/**
 * Exact derivatives of the tensions, row after row: element [row × legs + leg] is what the tension of that leg gains for
 * each unit of that row's parameter, in N per its unit; zero for a slack leg. `count` must be the number of parameters
 * times the number of legs (`rigging_balance_parameter_count`, `rigging_lift_leg_count`). It fails as
 * `rigging_balance_derivatives`.
 *
 * Requires:
 * `balance` is a handle; `tension_n_per_unit` has `count` elements that may be written; `error` is null or initialized.
 */
int32_t rigging_balance_tension_matrix(const struct rigging_balance *balance,
                                       double *tension_n_per_unit,
                                       size_t count,
                                       struct rigging_error *error);

/**
 * The worst case over a box of tolerances: for every leg, every point at which several meet and every hook the largest force
 * that was attained (N), and where in the box; for one load with up to eight legs from up to four hooks also a bound that is
 * proven; and the skew factors that follow.
 *
 * `inputs` is a JSON text of `length` bytes: `{"stiffness": […], "mass": …}`, the tolerance of each leg's stiffness and of the
 * load's mass, each over its own; `lengths` (m, one for each leg) and `center_of_gravity` (m, three coordinates) where they
 * are not to be those that the document states; `hook_heights` (m), needed where there are several hooks; `gap`, how much a bound may exceed what was attained (0.01), and `parts`, how
 * many pieces may be looked at (2000). Where nothing could be proven the bounds are null and `open` says why and
 * where. Ends with an answer, as `rigging_balance_derivatives`. `RIGGING_MISSING` for a tolerance that neither states;
 * `RIGGING_UNSUPPORTED` for slings that run over stations, or unless the balance is stable; `RIGGING_INCONSISTENT` for another number
 * of tolerances; `RIGGING_OUT_OF_DOMAIN` for one that is negative or leaves nothing.
 *
 * Requires:
 * `balance` is a handle; `inputs` has `length` bytes; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_worst(const struct rigging_balance *balance,
                              const char *inputs,
                              size_t length,
                              struct rigging_answer **answer,
                              struct rigging_error *error);

/**
 * The tolerance in m, common to all lengths, that keeps a skew factor within `limit`: `keeps`, up to which that is proven,
 * and `exceeds`, the least at which it was found exceeded, looked for up to `range_m`. `measure` is `RIGGING_MEASURE_OWN` or
 * `RIGGING_MEASURE_LARGEST`. `inputs` as in `rigging_balance_worst`; `lengths` are not used. Ends with an answer, as
 * `rigging_balance_derivatives`. Statuses as in `rigging_balance_worst`; `RIGGING_OUT_OF_DOMAIN` also for another measure, a
 * limit below 1, or a range that is not positive or leaves nothing of a length.
 *
 * Requires:
 * `balance` is a handle; `inputs` has `length` bytes; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_common_tolerance(const struct rigging_balance *balance,
                                         int32_t measure,
                                         double limit,
                                         double range_m,
                                         const char *inputs,
                                         size_t length,
                                         struct rigging_answer **answer,
                                         struct rigging_error *error);

/**
 * Which of the measured slings goes where, so that the largest ratio of a leg's tension to its nominal one is the least:
 * every order is hung. `longer_m` and `stiffer` say how much longer (m) and stiffer (over its own) than stated the sling of
 * each leg is, in the order of the legs; `count` is their number. Ends with an answer, as `rigging_balance_derivatives`.
 * `RIGGING_WRONG_COUNT` unless there is one number of each kind for each leg; other statuses as in `rigging_balance_worst`.
 *
 * Requires:
 * `balance` is a handle; `longer_m` and `stiffer` have `count` elements; `answer` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_balance_arrange(const struct rigging_balance *balance,
                                const double *longer_m,
                                const double *stiffer,
                                size_t count,
                                struct rigging_answer **answer,
                                struct rigging_error *error);

/**
 * Hangs `count` loads on bridles of `legs` legs each, with linear stretch, row after row.
 *
 * Inputs: weight in N (`count` values); center of gravity and lift points in the load's frame, z up as drawn, in m
 * (`count` × 3 and `count` × `legs` × 3 values); unstretched lengths in m and axial stiffness EA in N (`count` × `legs`
 * values each). Outputs: tension in N (`count` × `legs` values), tilt away from the attitude as drawn in rad, status and
 * state (`count` values each). The status of a row is 0 or that of the error that the single calculation gives; its state
 * is one of `RIGGING_STATE_…`. A row that is not solved, and one whose load turns over (unstable or lost), has NaN for
 * its tensions and tilt. No row changes another, and neither their order nor the number of threads changes a bit.
 *
 * `threads` is the most threads that share the rows, 0 for as many as the process may use at once; small batches take
 * one, no call more than 256, and none is left behind. The status returned is that of the call as a whole: it is 0 also
 * where rows have theirs. Null is allowed for every array when `count` is 0. After `RIGGING_INTERNAL` the outputs are
 * unspecified.
 *
 * Requires:
 * Inputs have the elements told and stay unchanged during the call; outputs have the elements told, may be written, and
 * overlap no other array; `error` is null or initialized.
 */
int32_t rigging_batch_bridle(size_t count,
                             size_t legs,
                             const double *weight_n,
                             const double *center_m,
                             const double *points_m,
                             const double *lengths_m,
                             const double *ea_n,
                             size_t threads,
                             double *tension_n,
                             double *tilt_rad,
                             int32_t *status,
                             int32_t *state,
                             struct rigging_error *error);

/**
 * Hangs `count` loads that differ from a nominal one by tolerances, on the branch of the nominal balance.
 *
 * The nominal load: lift points in the load's frame, z up as drawn, in m (`legs` × 3 values), unstretched lengths in m and
 * axial stiffness EA in N (`legs` values each), center of gravity in m (3 values), weight in N. Rows, each null where
 * nominal: lengths in m and factors on the stiffness (`count` × `legs` values), center of gravity in m (`count` × 3),
 * weight in N (`count`). Outputs: tension in N (`count` × `legs` values), status and state (`count` values each); and if not
 * null tilt in rad, and whether a row was followed by itself (1) or beside others (0). A status, a state and NaN mean what
 * they mean for `rigging_batch_bridle`.
 *
 * Rows are calculated side by side, as many as the processor has lanes, each from its own numbers alone: on one machine no
 * row changes another, and neither order nor threads nor the pieces in which they are sent change a bit. Machines with
 * and without fused multiplication differ in the last digits. `threads` is as for `rigging_batch_bridle`. After
 * `RIGGING_INTERNAL` the outputs are unspecified.
 *
 * Requires:
 * Inputs have the elements told and stay unchanged during the call; outputs have the elements told, may be written, and
 * overlap no other array; `error` is null or initialized.
 */
int32_t rigging_batch_nearby(size_t legs,
                             const double *points_m,
                             const double *lengths_m,
                             const double *ea_n,
                             const double *center_m,
                             double weight_n,
                             size_t count,
                             const double *row_lengths_m,
                             const double *row_stiffness_factors,
                             const double *row_center_m,
                             const double *row_weight_n,
                             size_t threads,
                             double *tension_n,
                             int32_t *status,
                             int32_t *state,
                             double *tilt_rad,
                             int32_t *alone,
                             struct rigging_error *error);

/**
 * An experiment. The nominal load is given as for `rigging_batch_nearby`. What is uncertain stands in arrays of `inputs`
 * values: `input` is one of `RIGGING_INPUT_…`, `index` that of the leg or axis, `distribution` one of
 * `RIGGING_DISTRIBUTION_…`, `parameter_count` the number of its parameters, which stand one after the other in
 * `parameters`, `parameters_total` of them. The inputs are independent. The seed decides every random number. Free the
 * handle with `rigging_experiment_free`.
 *
 * Requires:
 * Inputs have the elements told; `experiment` may be written; `error` is null or initialized.
 */
int32_t rigging_experiment_new(size_t legs,
                               const double *points_m,
                               const double *lengths_m,
                               const double *ea_n,
                               const double *center_m,
                               double weight_n,
                               size_t inputs,
                               const int32_t *input,
                               const size_t *index,
                               const int32_t *distribution,
                               const size_t *parameter_count,
                               size_t parameters_total,
                               const double *parameters,
                               uint64_t seed,
                               struct rigging_experiment **experiment,
                               struct rigging_error *error);

/**
 * An experiment of any arrangement. `system` is a JSON text of `length` bytes with the keys `gravity`, `hooks`, `joints`,
 * `bodies` and `members`, all in SI; the load is the first body. What is uncertain is told as for `rigging_experiment_new`.
 * Rows are hung one by one, each as what the nominal balance turns into. Free the handle with `rigging_experiment_free`.
 *
 * Requires:
 * `system` has `length` bytes; the arrays have the elements told; `experiment` may be written; `error` is null or initialized.
 */
int32_t rigging_experiment_of_system(const char *system,
                                     size_t length,
                                     size_t inputs,
                                     const int32_t *input,
                                     const size_t *index,
                                     const int32_t *distribution,
                                     const size_t *parameter_count,
                                     size_t parameters_total,
                                     const double *parameters,
                                     uint64_t seed,
                                     struct rigging_experiment **experiment,
                                     struct rigging_error *error);

/**
 * The experiment in which what the document of a balance gives a tolerance scatters as the caller reads it. `inputs` is a JSON
 * text of `length` bytes: `{"stiffness": […], "mass": …, "read_as": {…}, "seed": …}`, tolerances as for
 * `rigging_balance_worst`, and for each kind of them that is not zero (`lengths`, `center_of_gravity`, `stiffness`, `mass`,
 * `hook_heights`) how it is read about the stated number: `"uniform"`, `"triangular"`, `{"normal": {"deviations": …}}` with the standard deviations in
 * the tolerance, or `{"truncated_normal": {"deviations": …}}`, which is cut at it. `RIGGING_MISSING` where that is not told:
 * nothing is assumed. `RIGGING_UNSUPPORTED` for slings that run over stations. Free the handle with `rigging_experiment_free`.
 *
 * Requires:
 * `balance` is a handle; `inputs` has `length` bytes; `experiment` may be written; `error` is null or initialized.
 */
int32_t rigging_balance_experiment(const struct rigging_balance *balance,
                                   const char *inputs,
                                   size_t length,
                                   struct rigging_experiment **experiment,
                                   struct rigging_error *error);

/**
 * The reliability index that the allowed utilization under a rule set stands for in a lift, leg by leg. `inputs` is a JSON
 * text of `length` bytes: `{"experiment": {…}, "strengths": [{"mean": …, "variation": …}, …], "rows": …}`: what scatters, as for
 * `rigging_balance_experiment`; of each leg the mean force at which it fails (N) and its standard deviation over that, lognormal;
 * and the rows that are drawn. `RIGGING_MISSING` for a strength that is `"unknown"`: nothing is assumed. Ends with an answer, as
 * `rigging_balance_derivatives`. Support for, and no replacement of, the judgment of the competent person.
 *
 * Requires:
 * `lift` and `rules` are handles; `inputs` has `length` bytes; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_implied_indices(const struct rigging_lift *lift,
                                     const struct rigging_rule_set *rules,
                                     const char *inputs,
                                     size_t length,
                                     struct rigging_answer **answer,
                                     struct rigging_error *error);

/**
 * Frees an experiment; null is allowed.
 *
 * Requires:
 * `experiment` is null or a handle that has not been freed.
 */
void rigging_experiment_free(struct rigging_experiment *experiment);

/**
 * The number of legs, or members, and of hooks of an experiment.
 *
 * Requires:
 * `experiment` is a handle; `legs` and `hooks` may be written; `error` is null or initialized.
 */
int32_t rigging_experiment_forces(const struct rigging_experiment *experiment,
                                  size_t *legs,
                                  size_t *hooks,
                                  struct rigging_error *error);

/**
 * Draws `count` rows from row `first` on. A row is the same in whatever piece it is drawn, so a long sample is drawn in
 * pieces, with time to show progress or to stop between them. Outputs and `threads` are those of `rigging_batch_nearby`,
 * for the `legs` of the experiment.
 *
 * Requires:
 * `experiment` is a handle; outputs have the elements told, may be written and overlap no other array; `error` is null or
 * initialized.
 */
int32_t rigging_experiment_draw(const struct rigging_experiment *experiment,
                                uint64_t first,
                                size_t count,
                                size_t threads,
                                double *tension_n,
                                double *tilt_rad,
                                int32_t *status,
                                int32_t *state,
                                struct rigging_error *error);

/**
 * The same with the pulls on the hooks: `hook_n` has `count` rows of as many values as the experiment has hooks, NaN where
 * there is no lift.
 *
 * Requires:
 * As for `rigging_experiment_draw`.
 */
int32_t rigging_experiment_draw_with_hooks(const struct rigging_experiment *experiment,
                                           uint64_t first,
                                           size_t count,
                                           size_t threads,
                                           double *tension_n,
                                           double *hook_n,
                                           double *tilt_rad,
                                           int32_t *status,
                                           int32_t *state,
                                           struct rigging_error *error);

/**
 * The first-order approximation of the probability that a leg exceeds `limit_n`: the reliability index, negative if the
 * limit is exceeded at the medians, and the probability that belongs to it. From the number of legs on, `leg` is a hook.
 * `RIGGING_UNCONVERGED` if no point of failure is found.
 *
 * Requires:
 * `experiment` is a handle; `index` and `probability` may be written; `error` is null or initialized.
 */
int32_t rigging_experiment_first_order(const struct rigging_experiment *experiment,
                                       size_t leg,
                                       double limit_n,
                                       double *index,
                                       double *probability,
                                       struct rigging_error *error);

/**
 * The probability that any leg exceeds its limit (`limits` values in N, one for each leg, then one for each hook or for none
 * of them; infinite for no limit) or the load turns over, by subset simulation: mean of the `repeats`, its standard error as they scatter, and the reliability index of
 * the mean. `rows` is a multiple of 10, at least 100; 5000 rows and 10 repeats are usual. `RIGGING_UNCONVERGED` if a repeat
 * finds no failure: the probability is below 1e-12, or nothing can fail.
 *
 * Requires:
 * `experiment` is a handle; `limits_n` has the elements told; outputs may be written; `error` is null or initialized.
 */
int32_t rigging_experiment_rare(const struct rigging_experiment *experiment,
                                size_t limits,
                                const double *limits_n,
                                size_t rows,
                                size_t repeats,
                                size_t threads,
                                double *probability,
                                double *standard_error,
                                double *index,
                                struct rigging_error *error);

/**
 * The value that another one does not exceed with the probability `p`, and those between which the true quantile lies with
 * the `confidence` asked for, from the order of `count` values alone. NaN among the values stands above every number; a
 * bound for which there are too few values is NaN.
 *
 * Requires:
 * `values` has the elements told; outputs may be written; `error` is null or initialized.
 */
int32_t rigging_sample_quantile(size_t count,
                                const double *values,
                                double p,
                                double confidence,
                                double *value,
                                double *least,
                                double *most,
                                struct rigging_error *error);

/**
 * For each of `legs`, the number of `count` rows of `tension_n` (row after row) in which its tension exceeds its limit
 * (`limits_n`, infinite for none), and the probabilities between which the true share lies with the `confidence` asked
 * for. A row that is no lift (NaN) exceeds every limit.
 *
 * Requires:
 * Inputs and outputs have the elements told; `error` is null or initialized.
 */
int32_t rigging_sample_exceedance(size_t legs,
                                  size_t count,
                                  const double *tension_n,
                                  const double *limits_n,
                                  double confidence,
                                  uint64_t *exceeding,
                                  double *least,
                                  double *most,
                                  struct rigging_error *error);

/**
 * Tension of each of n equal legs at one angle from vertical under a central weight, W/(n·cos β), in N, for `count` rows:
 * weight W in N, positive; number of legs n, a whole number from 1; angle β from vertical in rad, from 0 to below a right
 * angle. A row that cannot be calculated has NaN and its status; the status returned is that of the call as a whole. Null
 * is allowed for every array when `count` is 0.
 *
 * Requires:
 * Arrays have `count` elements; the outputs `tension_n` and `status` may be written and overlap no other array; `error`
 * is null or initialized.
 */
int32_t rigging_leg_tension(size_t count,
                            const double *weight_n,
                            const double *legs,
                            const double *angle_from_vertical_rad,
                            double *tension_n,
                            int32_t *status,
                            struct rigging_error *error);

/**
 * Tension of each part of a basket hitch without friction under a central weight, W/(2·cos β), in N, for `count` rows:
 * weight W in N, positive; angle β of the parts from vertical in rad, from 0 to below a right angle. Rows, statuses and
 * null are as in `rigging_leg_tension`.
 *
 * Requires:
 * Arrays have `count` elements; the outputs `tension_n` and `status` may be written and overlap no other array; `error`
 * is null or initialized.
 */
int32_t rigging_basket_tension(size_t count,
                               const double *weight_n,
                               const double *angle_from_vertical_rad,
                               double *tension_n,
                               int32_t *status,
                               struct rigging_error *error);

/**
 * Horizontal pull of a leg that carries a vertical force, V·tan β, in N, for `count` rows: force V in N, positive; angle β
 * from vertical in rad, from 0 to below a right angle. At the choke of a pair of choked slings it is what draws the two
 * together. Rows, statuses and null are as in `rigging_leg_tension`.
 *
 * Requires:
 * Arrays have `count` elements; the outputs `pull_n` and `status` may be written and overlap no other array; `error` is
 * null or initialized.
 */
int32_t rigging_horizontal_pull(size_t count,
                                const double *vertical_n,
                                const double *angle_from_vertical_rad,
                                double *pull_n,
                                int32_t *status,
                                struct rigging_error *error);

/**
 * Converts `count` values from one unit of a quantity to another, such as "force" from "kip" to "kN". A value that is not
 * finite, or not of the quantity (a temperature below 0 K), has NaN and its status. `RIGGING_UNKNOWN_NAME` for no quantity,
 * `RIGGING_WRONG_UNIT` or `RIGGING_AMBIGUOUS_UNIT` for no unit of it. Rows, statuses and null are as in
 * `rigging_leg_tension`.
 *
 * Requires:
 * Texts have the lengths told in bytes; arrays have `count` elements; the outputs `converted` and `status` may be written
 * and overlap no other array; `error` is null or initialized.
 */
int32_t rigging_convert(const char *quantity,
                        size_t quantity_length,
                        const char *unit_from,
                        size_t unit_from_length,
                        const char *unit_to,
                        size_t unit_to_length,
                        size_t count,
                        const double *values,
                        double *converted,
                        int32_t *status,
                        struct rigging_error *error);

/**
 * Empties the struct and notes its size: `rigging_chain_init(&chain, sizeof chain)`.
 *
 * Requires:
 * `chain` is null or points to `size` bytes that may be written.
 */
void rigging_chain_init(struct rigging_chain *chain, size_t size);

/**
 * Empties the struct and notes its size: `rigging_step_init(&step, sizeof step)`.
 *
 * Requires:
 * `step` is null or points to `size` bytes that may be written.
 */
void rigging_step_init(struct rigging_step *step, size_t size);

/**
 * Empties the struct and notes its size: `rigging_input_init(&input, sizeof input)`.
 *
 * Requires:
 * `input` is null or points to `size` bytes that may be written.
 */
void rigging_input_init(struct rigging_input *input, size_t size);

/**
 * Empties the struct and notes its size: `rigging_branch_init(&branch, sizeof branch)`.
 *
 * Requires:
 * `branch` is null or points to `size` bytes that may be written.
 */
void rigging_branch_init(struct rigging_branch *branch, size_t size);

/**
 * Where one side of a finding comes from, as a whole: `finding` by its index, `side` one of `RIGGING_SIDE_…`.
 * `RIGGING_NO_SUCH_ITEM` where the finding does not have that side. Its texts are lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `chain` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_chain(const struct rigging_assessment *assessment,
                                 size_t finding,
                                 int32_t side,
                                 struct rigging_chain *chain,
                                 struct rigging_error *error);

/**
 * The base (index 0) or a step of a chain, from 0 to below `step_count`. Its texts are lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `step` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_step(const struct rigging_assessment *assessment,
                                size_t finding,
                                int32_t side,
                                size_t index,
                                struct rigging_step *step,
                                struct rigging_error *error);

/**
 * An input that the value of a step was computed or looked up from, from 0 to below `input_count`. Its texts are lent by
 * the assessment.
 *
 * Requires:
 * `assessment` is a handle; `input` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_input(const struct rigging_assessment *assessment,
                                 size_t finding,
                                 int32_t side,
                                 size_t step,
                                 size_t index,
                                 struct rigging_input *input,
                                 struct rigging_error *error);

/**
 * An alternative that a step weighed and did not take, from 0 to below `branch_count`. Its texts are lent by the
 * assessment.
 *
 * Requires:
 * `assessment` is a handle; `branch` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_branch(const struct rigging_assessment *assessment,
                                  size_t finding,
                                  int32_t side,
                                  size_t step,
                                  size_t index,
                                  struct rigging_branch *branch,
                                  struct rigging_error *error);

/**
 * Empties the struct and notes its size: `rigging_leg_init(&leg, sizeof leg)`.
 *
 * Requires:
 * `leg` is null or points to `size` bytes that may be written.
 */
void rigging_leg_init(struct rigging_leg *leg, size_t size);

/**
 * Empties the struct and notes its size: `rigging_assumption_init(&assumption, sizeof assumption)`.
 *
 * Requires:
 * `assumption` is null or points to `size` bytes that may be written.
 */
void rigging_assumption_init(struct rigging_assumption *assumption, size_t size);

/**
 * Assesses the lift under a rule set. A failed check, and an input that is missing, are results, not errors. The handle
 * is the caller's: free it with `rigging_assessment_free`; lift and rule set may be freed before it.
 *
 * Requires:
 * `lift` and `rule_set` are handles; `assessment` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_assess(const struct rigging_lift *lift,
                            const struct rigging_rule_set *rule_set,
                            struct rigging_assessment **assessment,
                            struct rigging_error *error);

/**
 * Assesses the lift with bounds over the tolerances of lengths and center of gravity, proven at stiffness and mass as stated,
 * in place of what was attained. A strength passes where the bound does not exceed it, fails where what was attained does, and
 * is not concluded upon in between, nor where there is no bound; the finding says which. `gap` is how much a bound may exceed
 * what was attained, over it, such as 0.01; `parts` the most pieces that are looked at, such as 2000. All else is as in
 * `rigging_lift_assess`. `RIGGING_OUT_OF_DOMAIN` for a gap that is not positive.
 *
 * Requires:
 * `lift` and `rule_set` are handles; `assessment` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_assess_bounded(const struct rigging_lift *lift,
                                    const struct rigging_rule_set *rule_set,
                                    double gap,
                                    size_t parts,
                                    struct rigging_assessment **assessment,
                                    struct rigging_error *error);

/**
 * Assesses the lift with leg forces by a sharing rule, which a finding with the code "sharing_rule" sets against what is
 * attained at the vertices of the tolerances: such an assessment never passes where `rigging_lift_assess` does not. Where the
 * rule refuses nothing is concluded. All else is as in `rigging_lift_assess`. `RIGGING_INCONSISTENT` for a rule that answers not
 * one force a leg. The rule may be freed before the assessment.
 *
 * Requires:
 * `lift`, `rule_set` and `rule` are handles; `assessment` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_assess_by_rule(const struct rigging_lift *lift,
                                    const struct rigging_rule_set *rule_set,
                                    const struct rigging_sharing_rule *rule,
                                    struct rigging_assessment **assessment,
                                    struct rigging_error *error);

/**
 * Where the forces were taken from: "at_vertices", "bounds" or "rule"; the text stays for good. The document of the
 * assessment says more.
 *
 * Requires:
 * `assessment` is a handle; `source` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_forces(const struct rigging_assessment *assessment,
                                  struct rigging_text *source,
                                  struct rigging_error *error);

/**
 * Verdict of the lift: `RIGGING_VERDICT_PASS`, `RIGGING_VERDICT_FAIL` or `RIGGING_VERDICT_CANNOT_CONCLUDE`.
 *
 * Requires:
 * `assessment` is a handle; `verdict` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_verdict(const struct rigging_assessment *assessment,
                                   int32_t *verdict,
                                   struct rigging_error *error);

/**
 * Name of the lift; the text is lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `name` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_lift_name(const struct rigging_assessment *assessment,
                                     struct rigging_text *name,
                                     struct rigging_error *error);

/**
 * Hash of the lift that was assessed, as `rigging_lift_hash` gives it; the text is lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `hash` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_lift_hash(const struct rigging_assessment *assessment,
                                     struct rigging_text *hash,
                                     struct rigging_error *error);

/**
 * Which rules the assessment was made under; the texts are lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `identity` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_rule_set(const struct rigging_assessment *assessment,
                                    struct rigging_rule_set_identity *identity,
                                    struct rigging_error *error);

/**
 * Number of legs with figures; 0 where no demand could be raised.
 *
 * Requires:
 * `assessment` is a handle; `count` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_leg_count(const struct rigging_assessment *assessment,
                                     size_t *count,
                                     struct rigging_error *error);

/**
 * One leg in figures, by its index from 0, in the order of the document.
 *
 * Requires:
 * `assessment` is a handle; `leg` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_leg(const struct rigging_assessment *assessment,
                               size_t index,
                               struct rigging_leg *leg,
                               struct rigging_error *error);

/**
 * Number of assumptions: what the verdict takes for granted.
 *
 * Requires:
 * `assessment` is a handle; `count` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_assumption_count(const struct rigging_assessment *assessment,
                                            size_t *count,
                                            struct rigging_error *error);

/**
 * One assumption, by its index from 0. Its texts are lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `assumption` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_assumption(const struct rigging_assessment *assessment,
                                      size_t index,
                                      struct rigging_assumption *assumption,
                                      struct rigging_error *error);

/**
 * The equilibrium behind the demand: nominal lengths and center of gravity, every factor on weight included. Free it with
 * `rigging_certificate_free`. `RIGGING_NO_SUCH_ITEM` where no demand could be raised.
 *
 * Requires:
 * `assessment` is a handle; `certificate` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_nominal(const struct rigging_assessment *assessment,
                                   struct rigging_certificate **certificate,
                                   struct rigging_error *error);

/**
 * Frees an assessment; null is allowed.
 *
 * Requires:
 * `assessment` is null or a handle that has not been freed, and no thread uses it or a text it lent.
 */
void rigging_assessment_free(struct rigging_assessment *assessment);

/**
 * Empties the struct and notes its size: `rigging_finding_init(&finding, sizeof finding)`.
 *
 * Requires:
 * `finding` is null or points to `size` bytes that may be written.
 */
void rigging_finding_init(struct rigging_finding *finding, size_t size);

/**
 * Empties the struct and notes its size: `rigging_missing_input_init(&missing, sizeof missing)`.
 *
 * Requires:
 * `missing` is null or points to `size` bytes that may be written.
 */
void rigging_missing_input_init(struct rigging_missing_input *missing, size_t size);

/**
 * Number of findings.
 *
 * Requires:
 * `assessment` is a handle; `count` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_finding_count(const struct rigging_assessment *assessment,
                                         size_t *count,
                                         struct rigging_error *error);

/**
 * One finding, by its index from 0: the governing one first. Its texts are lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `finding` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_finding(const struct rigging_assessment *assessment,
                                   size_t index,
                                   struct rigging_finding *finding,
                                   struct rigging_error *error);

/**
 * One input that keeps a finding from a conclusion, by the finding's index and its own, from 0 to below
 * `missing_count`. Its texts are lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `missing` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_missing(const struct rigging_assessment *assessment,
                                   size_t finding,
                                   size_t index,
                                   struct rigging_missing_input *missing,
                                   struct rigging_error *error);

/**
 * Stable code of an assumption that a finding rests on, by the finding's index and its own, from 0 to below
 * `assumption_count`; `rigging_assessment_assumption` says what each code means. The text stays for good.
 *
 * Requires:
 * `assessment` is a handle; `code` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_finding_assumption(const struct rigging_assessment *assessment,
                                              size_t finding,
                                              size_t index,
                                              struct rigging_text *code,
                                              struct rigging_error *error);

/**
 * Empties the struct and notes its size: `rigging_remedy_init(&remedy, sizeof remedy)`.
 *
 * Requires:
 * `remedy` is null or points to `size` bytes that may be written.
 */
void rigging_remedy_init(struct rigging_remedy *remedy, size_t size);

/**
 * What would change the verdict. It is sought at the first call, by many more solves than the assessment took, and kept.
 * Its texts are lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `remedy` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_remedy(const struct rigging_assessment *assessment,
                                  struct rigging_remedy *remedy,
                                  struct rigging_error *error);

/**
 * One input whose absence keeps the lift from a verdict, by its index from 0; `RIGGING_NO_SUCH_ITEM` from
 * `missing_count` on. Its texts are lent by the assessment.
 *
 * Requires:
 * `assessment` is a handle; `missing` is initialized; `error` is null or initialized.
 */
int32_t rigging_assessment_remedy_missing(const struct rigging_assessment *assessment,
                                          size_t index,
                                          struct rigging_missing_input *missing,
                                          struct rigging_error *error);

/**
 * Assesses the lift under each of `count` rule sets and sets the outcomes side by side: verdict and governing finding of
 * each, every check under each, and for every two that differ the first clause where they part. The handle is the
 * caller's: free it with `rigging_matrix_free`. `RIGGING_INCONSISTENT` for no rule set at all; else as
 * `rigging_lift_assess`.
 *
 * Requires:
 * `lift` is a handle; `rule_sets` has `count` handles; `matrix` may be written; `error` is null or initialized.
 */
int32_t rigging_lift_matrix(const struct rigging_lift *lift,
                            const struct rigging_rule_set *const *rule_sets,
                            size_t count,
                            struct rigging_matrix **matrix,
                            struct rigging_error *error);

/**
 * Writes the matrix as one line of JSON: `columns`, `rows` and `partings`. Two calls, as `rigging_assessment_report`.
 *
 * Requires:
 * `matrix` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_matrix_to_json(const struct rigging_matrix *matrix,
                               char *buffer,
                               size_t capacity,
                               size_t *length,
                               struct rigging_error *error);

/**
 * Writes the matrix as plain text: verdicts, where the rule sets part, and the checks on which they do. Two calls, as
 * `rigging_assessment_report`.
 *
 * Requires:
 * As `rigging_matrix_to_json`.
 */
int32_t rigging_matrix_report(const struct rigging_matrix *matrix,
                              char *buffer,
                              size_t capacity,
                              size_t *length,
                              struct rigging_error *error);

/**
 * Frees a matrix; null is allowed.
 *
 * Requires:
 * `matrix` is null or a handle that has not been freed, and no thread uses it.
 */
void rigging_matrix_free(struct rigging_matrix *matrix);

/**
 * Every check on which two assessments of one lift differ: first what differs in the outcome, the gravest before all, then
 * what differs in figures alone; each with the first term of the calculation that differs and its source. Ends with an
 * answer, as `rigging_balance_derivatives`: a list, empty where they agree. `RIGGING_INCONSISTENT` for assessments of
 * different lifts.
 *
 * Requires:
 * `left` and `right` are handles; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_assessment_partings(const struct rigging_assessment *left,
                                    const struct rigging_assessment *right,
                                    struct rigging_answer **answer,
                                    struct rigging_error *error);

/**
 * Searches for a lift in which a leg bears more than a sharing rule says: around `lift`, or around a ring of lift points where
 * it is null. `inputs` is a JSON document: `legs` (of the ring), `free` (what may be what: `number`, `least`, `most`), `trials`,
 * `states`, `lifts`, `least`, `seed`; its schema is `refute_inputs` in the committed schemas of the kit. Ends with an answer,
 * as `rigging_balance_derivatives`: whether the rule is `refuted`, the `worst` case with its document, and how far was searched.
 * That nothing was found proves nothing. Statuses are those of the inputs, the lift and the answers of the rule.
 *
 * Requires:
 * `rule` is a handle; `lift` is null or a handle; `inputs` has `inputs_length` bytes; `go_on` is null or may be called with
 * `context`; `answer` may be written; `error` is null or initialized.
 */
int32_t rigging_refute(const struct rigging_sharing_rule *rule,
                       const struct rigging_lift *lift,
                       const char *inputs,
                       size_t inputs_length,
                       rigging_go_on go_on,
                       void *context,
                       struct rigging_answer **answer,
                       struct rigging_error *error);

/**
 * Maps where sharing rules fall short of the worst within tolerances, over numbers of `lift`, or of a ring of lift points where
 * it is null. `inputs` is a JSON document: `legs` (of the ring), `axes` (each a `number` and its `values`); its schema is
 * `survey_inputs` in the committed schemas of the kit. Ends with an answer, as `rigging_balance_derivatives`: for each rule and
 * cell which share of the worst tension is missing, null where there is none. Statuses are those of the inputs, the lift and the
 * answers of the rules.
 *
 * Requires:
 * `rules` has `count` handles; the others are as for `rigging_refute`.
 */
int32_t rigging_survey(const struct rigging_sharing_rule *const *rules,
                       size_t count,
                       const struct rigging_lift *lift,
                       const char *inputs,
                       size_t inputs_length,
                       rigging_go_on go_on,
                       void *context,
                       struct rigging_answer **answer,
                       struct rigging_error *error);

/**
 * Writes the calculation as plain text: verdict, governing finding and what would change it in the first three lines,
 * then figures, then where each comes from. First call: a null `buffer` gives the `length` in bytes; second call: a
 * `buffer` of `length` + 1 bytes receives the text and a zero byte. The same assessment gives the same text, byte for
 * byte.
 *
 * Requires:
 * `assessment` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_assessment_report(const struct rigging_assessment *assessment,
                                  char *buffer,
                                  size_t capacity,
                                  size_t *length,
                                  struct rigging_error *error);

/**
 * Writes the report as one line of JSON: the assessment, its hash, what would change the verdict, the cautions. Two calls,
 * as `rigging_assessment_report`.
 *
 * Requires:
 * `assessment` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_assessment_report_json(const struct rigging_assessment *assessment,
                                       char *buffer,
                                       size_t capacity,
                                       size_t *length,
                                       struct rigging_error *error);

/**
 * Writes the assessment as one line of JSON: its canonical text, with the nominal certificate and every chain. Two
 * calls, as `rigging_assessment_report`.
 *
 * Requires:
 * `assessment` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_assessment_to_json(const struct rigging_assessment *assessment,
                                   char *buffer,
                                   size_t capacity,
                                   size_t *length,
                                   struct rigging_error *error);

/**
 * Writes the SHA-256 of the canonical text of the assessment in hexadecimal. Two calls, as `rigging_assessment_report`.
 *
 * Requires:
 * `assessment` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_assessment_hash(const struct rigging_assessment *assessment,
                                char *buffer,
                                size_t capacity,
                                size_t *length,
                                struct rigging_error *error);

/**
 * Writes the certificate as one line of JSON. Two calls, as `rigging_assessment_report`.
 *
 * Requires:
 * `certificate` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
 * initialized.
 */
int32_t rigging_certificate_to_json(const struct rigging_certificate *certificate,
                                    char *buffer,
                                    size_t capacity,
                                    size_t *length,
                                    struct rigging_error *error);

/**
 * Writes where a number of the assessment comes from as one line of JSON: who says or computes it, by which operation, from
 * which other numbers, down to what a document or the lift document states. `pointer` of `pointer_length` bytes is a JSON
 * pointer into the text of `rigging_assessment_to_json`, such as "/findings/0/utilization" or "/legs/2/worst"; what would
 * change the verdict stands below "/remedy". Two calls, as `rigging_assessment_report`.
 *
 * Requires:
 * `assessment` is a handle; `pointer` has `pointer_length` bytes; `buffer` has `capacity` bytes or is null; `length` may be
 * written; `error` is null or initialized.
 */
int32_t rigging_assessment_origin(const struct rigging_assessment *assessment,
                                  const char *pointer,
                                  size_t pointer_length,
                                  char *buffer,
                                  size_t capacity,
                                  size_t *length,
                                  struct rigging_error *error);

/**
 * Writes the same in words, one line a number, each below what was made of it. Two calls, as `rigging_assessment_report`.
 *
 * Requires:
 * As `rigging_assessment_origin`.
 */
int32_t rigging_assessment_origin_text(const struct rigging_assessment *assessment,
                                       const char *pointer,
                                       size_t pointer_length,
                                       char *buffer,
                                       size_t capacity,
                                       size_t *length,
                                       struct rigging_error *error);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* RIGGING_H */
