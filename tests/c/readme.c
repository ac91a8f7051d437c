#include <assert.h>
#include <math.h>
#include <rigging.h>
#include <stdio.h>

int main(void) {
    static char text[1 << 16];
    FILE *file = fopen("rigging-core/examples/lifts/generator-skid-round-edge.json", "rb");
    assert(file != NULL);
    size_t length = fread(text, 1, sizeof text, file);
    fclose(file);

    rigging_error error;
    rigging_lift *lift = NULL;
    rigging_rule_set *rules = NULL;
    rigging_certificate *hang = NULL;
    rigging_assessment *assessment = NULL;
    rigging_error_init(&error, sizeof error);
    if (rigging_lift_from_json(text, length, &lift, &error) != RIGGING_OK) {
        fprintf(stderr, "%s: %s\n", error.place, error.message);
        return 3;
    }

    double tensions[4] = {0};
    int32_t verdict = -1;
    assert(rigging_lift_solve(lift, &hang, &error) == RIGGING_OK);
    assert(rigging_certificate_tensions(hang, tensions, 4, &error) == RIGGING_OK);
    assert(fabs(tensions[1] - 69116.12) < 0.005); /* N */

    assert(rigging_rule_set_built_in("us-general", 10, &rules, &error) == RIGGING_OK);
    assert(rigging_lift_assess(lift, rules, &assessment, &error) == RIGGING_OK);
    assert(rigging_assessment_verdict(assessment, &verdict, &error) == RIGGING_OK);
    assert(verdict == RIGGING_VERDICT_PASS);

    rigging_assessment_free(assessment);
    rigging_rule_set_free(rules);
    rigging_certificate_free(hang);
    rigging_lift_free(lift);
    return 0;
}
