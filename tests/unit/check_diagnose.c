/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_diagnose.c -- what explains gauge readings. */
#include "unit/diagnose_suite.h"

fc_diagnosis *
diagnosis_of(fc_site *site)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_diagnosis *diagnosis = NULL;
    const fc_status status = fc_diagnose(site, NULL, &diagnosis, messages);

    ck_assert_msg(status == FC_OK, "%s: %s", fc_status_text(status),
                  all_messages(messages));
    fc_diagnostics_free(messages);
    return diagnosis;
}

int
main(void)
{
    Suite *suite = suite_create("diagnose");

    suite_add_tcase(suite, diagnose_by_hand());
    suite_add_tcase(suite, diagnose_properties());
    suite_add_tcase(suite, diagnose_work());
    return run_suite(suite);
}
