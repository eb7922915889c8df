/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_corpus.c -- the seeds of the fuzzer, replayed.
 *
 * Every file of corpus/ goes through what fuzz/site.c asks of any text. A
 * name tells what is to come of it: `bad-` is refused when it is read,
 * `later-` when it is checked, `odd-` may be either (what the fuzzer once
 * stopped at), and all others are checked.
 */
#include "fuzz/fuzz.h"
#include "unit/folder.h"
#include "ini/ini.h"
#include "site/parts.h"
#include "unit/suite.h"

#define LARGEST_FILE 65536

static bool
begins(const char *name, const char *word)
{
    return strncmp(name, word, strlen(word)) == 0;
}

START_TEST(replayed)
{
    static uint8_t text[LARGEST_FILE];
    FILE *file = fopen(names[_i], "rb");
    const char *broken;
    size_t n;

    ck_assert_msg(file, "%s cannot be opened", names[_i]);
    n = fread(text, 1, sizeof text, file);
    fclose(file);
    ck_assert_uint_lt(n, sizeof text);
    broken = fuzz_run(fuzz_target_named("site"), text, n);
    ck_assert_msg(!broken, "%s: does not hold: %s", names[_i], broken);
    if (begins(names[_i], "odd-"))
        return;
    ck_assert_msg(
        (fuzz_outcome.read == FC_EINPUT) == begins(names[_i], "bad-"),
        "%s is read: %s", names[_i], fc_status_text(fuzz_outcome.read));
    ck_assert_msg((fuzz_outcome.checked == FC_EUNSUPPORTED)
                      == begins(names[_i], "later-"),
                  "%s is checked: %s", names[_i],
                  fc_status_text(fuzz_outcome.checked));
}
END_TEST

/* ---- What the seeds hold ----------------------------------------------- */

/* The kind of `[pressure tank t]` is two words. */
static bool
is_of_kind(const struct fci_section *section, const char *kind)
{
    const size_t n = strlen(kind);
    char heading[200];

    snprintf(heading, sizeof heading, "%s %s", section->kind, section->name);
    return strncmp(heading, kind, n) == 0 && heading[n] == ' ';
}

static bool
file_has(const char *name, const char *kind, const char *key)
{
    struct fci_ini ini;
    bool has = false;
    size_t i;

    if (fci_ini_read_file(&ini, name, NULL) != FC_OK)
        return false;
    for (i = 0; i < ini.n_sections; i++)
        has = has
              || (is_of_kind(&ini.sections[i], kind)
                  && fci_section_entry(&ini.sections[i], key));
    fci_ini_free(&ini);
    return has;
}

static bool
is_seeded(const char *kind, const char *key)
{
    int i;

    for (i = 0; i < n_names; i++)
        if (!begins(names[i], "bad-") && !begins(names[i], "odd-")
            && file_has(names[i], kind, key))
            return true;
    return false;
}

/* A fuzzer seldom finds a whole key by chance. */
START_TEST(every_key_is_seeded)
{
    const struct fci_part_kind *kind = &fci_part_kinds[_i];
    size_t i;

    for (i = 0; i < kind->n_fields; i++)
        ck_assert_msg(is_seeded(kind->word, kind->fields[i].key),
                      "no seed has [%s] %s", kind->word, kind->fields[i].key);
}
END_TEST

START_TEST(there_are_seeds)
{
    ck_assert_int_ge(n_names, 40);
    ck_assert_int_lt(n_names, MOST_FILES);
}
END_TEST

/* ---- All --------------------------------------------------------------- */

static Suite *
corpus_suite(void)
{
    Suite *suite = suite_create("corpus");
    TCase *t = tcase_create("seeds");

    tcase_set_timeout(t, 60);
    tcase_add_test(t, there_are_seeds);
    tcase_add_loop_test(t, replayed, 0, n_names);
    tcase_add_loop_test(t, every_key_is_seeded, 0, FCI_KINDS);
    suite_add_tcase(suite, t);
    return suite;
}

int
main(void)
{
    list_folder("corpus", "");
    return run_suite(corpus_suite());
}
