from rigging_py import Lift, RuleSet

lift = Lift.from_file("rigging-core/examples/lifts/generator-skid-round-edge.json")
hang = lift.solve()  # nominal lengths, center of gravity as stated
assert [round(tension / 1e3, 2) for tension in hang.tensions_n] == [54.21, 69.12, 47.61, 32.64]

assessment = lift.assess(RuleSet.built_in("us-general"))  # worst over the tolerances
assert assessment.verdict == "pass"
assert round(assessment.governing["utilization"], 3) == 0.881
