/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/calls_of_parts.c -- every member of every part that a program can
 * hand over, with what none of them may hold.
 *
 * Each part of a building with one of every kind is added as it is, which must
 * be taken; then once for each way in which one of its members can be wrong,
 * which must be refused, with the key in the message, and leaves a site that
 * cannot be finished.  The members are those of the rows of lib/site/parts.c,
 * so that a new key is tried without a word here.
 */
#include "unit/calls_suite.h"
#include "ini/field_type.h"
#include "site/site.h"
#include "unit/add_part.h"

#include <limits.h>
#include <math.h>
#include <stdint.h>

/* ---- A part that stands, and one member of it ------------------------- */

/* Any struct of a part. */
union any_part {
    fc_settings settings;
    fc_source source;
    fc_pipe pipe;
    fc_device device;
    fc_reducer reducer;
    fc_pump pump;
    fc_pressure_tank tank;
    fc_fixture fixture;
    fc_valve valve;
    fc_demand demand;
    fc_prices prices;
    fc_heater heater;
    fc_fix_prices fix_prices;
    fc_usage usage;
    fc_people people;
    fc_reading reading;
    fc_claim claim;
    fc_gauge gauge;
    fc_look look;
    fc_floors floors;
    fc_tolerance tolerance;
};

static struct {
    enum fci_kind kind;
    union any_part good, bad;
    const struct fci_field *field;
    int tried;
} on;

static void *
member(size_t offset)
{
    return (char *)&on.bad + offset;
}

/* Refused, said, and the site is of no use but to be freed. */
static void
refused_with(const char *key)
{
    fc_site *site = fc_site_new();
    fc_diagnostics *list = fresh();
    const fc_status status = add_part(site, on.kind, &on.bad, list);
    const char *what = fci_part_kinds[on.kind].word;
    fc_check_result *result = NULL;

    ck_assert_msg(status == FC_EINPUT, "[%s] %s, try %d: status %d", what, key,
                  on.tried, status);
    ck_assert_msg(strstr(all_messages(list), key), "[%s] %s: %s", what, key,
                  all_messages(list));
    ck_assert_uint_eq(fc_site_count(site), 0);
    ck_assert_int_eq(fc_site_finish(site, fresh()), FC_EINPUT);
    ck_assert_msg(strstr(all_messages(said), "was refused"), "%s",
                  all_messages(said));
    ck_assert_int_eq(fc_check(site, &result, NULL), FC_ESTATE);
    fc_site_free(site);
    on.tried++;
}

static void
refused_member(void)
{
    refused_with(on.field->key);
    on.bad = on.good;
}

/* ---- What a member may be wrong by ------------------------------------ */

static void
try_int(size_t offset, int value)
{
    memcpy(member(offset), &value, sizeof value);
    refused_member();
}

static void
try_text(size_t offset, const char *text)
{
    memcpy(member(offset), &text, sizeof text);
    refused_member();
}

static void
try_range(size_t offset, double nominal, double low, double high)
{
    const fc_range range = { true, nominal, low, high };

    memcpy(member(offset), &range, sizeof range);
    refused_member();
}

/* Figures that no domain has. */
static void
try_figures(size_t offset)
{
    try_range(offset, NAN, NAN, NAN);
    try_range(offset, NAN, 1, 2);
    try_range(offset, 1, NAN, 2);
    try_range(offset, 1, 1, NAN);
    try_range(offset, INFINITY, INFINITY, INFINITY);
    try_range(offset, 1, -INFINITY, 2);
    try_range(offset, 1, 1, INFINITY);
    try_range(offset, 1.5, 2, 1);
    try_range(offset, 3, 1, 2);
    try_range(offset, 1e300, 1e300, 1e300);
    try_range(offset, -1e300, -1e300, -1e300);
}

static void
try_domain(size_t offset, enum fci_domain domain)
{
    try_figures(offset);
    if (domain == FCI_READ)
        try_range(offset, -2e5, -2e5, -2e5);
    else if (domain != FCI_ANY)
        try_range(offset, -0.5, -0.5, -0.5);
    if (domain == FCI_POSITIVE || domain == FCI_ACCURACY) {
        try_range(offset, 0, 0, 0);
        try_range(offset, 1e-300, 1e-300, 1e-300);
    }
    if (domain == FCI_FRACTION)
        try_range(offset, 1.5, 1.5, 1.5);
}

static void
try_texts(size_t offset, bool name)
{
    static char overlong[2001];

    memset(overlong, 'a', sizeof overlong - 1);
    try_text(offset, overlong);
    try_text(offset, "two\nlines");
    try_text(offset, "two\rlines");
    try_text(offset, "bell\a");
    try_text(offset, "escape\033[2J");
    try_text(offset, "delete\177");
    try_text(offset, "no UTF-8 \xff");
    if (name)
        try_text(offset, "");
}

static void
try_choices(size_t offset)
{
    const bool from_zero = on.field->type == &fci_said_choice_field;
    int last = from_zero ? 0 : (int)on.field->second;

    for (size_t i = 0; on.field->choices[i]; i++)
        last++;
    try_int(offset, -1);
    try_int(offset, last);
    try_int(offset, INT_MAX);
    try_int(offset, INT_MIN);
    if (on.field->required && !from_zero && on.field->second > 0)
        try_int(offset, 0);
}

/* A list of so many items at `list`. */
static void
try_list(size_t at, size_t count_at, const void *list, size_t n)
{
    memcpy(member(at), &list, sizeof list);
    memcpy(member(count_at), &n, sizeof n);
    refused_member();
}

static void
try_counts(size_t at, size_t count_at)
{
    static const double items[64];

    try_list(at, count_at, NULL, 1);
    try_list(at, count_at, NULL, SIZE_MAX);
    try_list(at, count_at, items, SIZE_MAX);
    try_list(at, count_at, items, SIZE_MAX / 16 + 1);
}

static void
try_points(size_t at, size_t count_at)
{
    static const fc_point sets[][2] = {
        { { 0, 1 }, { NAN, 1 } },      { { 0, 1 }, { 1, NAN } },
        { { NAN, 1 }, { 1, 1 } },      { { 0, 1 }, { INFINITY, 1 } },
        { { 0, INFINITY }, { 1, 1 } }, { { 0, 1 }, { 0, 1 } },
        { { 1, 1 }, { 0.5, 1 } },      { { -1, 1 }, { 1, 1 } },
        { { 0, 1e300 }, { 1, 1 } },    { { 0, -INFINITY }, { 1, -INFINITY } },
    };

    try_counts(at, count_at);
    for (int i = 0; i < COUNT(sets); i++)
        try_list(at, count_at, sets[i], 2);
}

static void
try_loss(size_t offset)
{
    const fc_range nan = { true, NAN, NAN, NAN }, one = { true, 1, 1, 1 },
                   below = { true, -1, -1, -1 }, none = { 0 };
    const fc_loss losses[] = {
        { .kind = (fc_loss_kind)-1 },
        { .kind = (fc_loss_kind)4 },
        { .kind = (fc_loss_kind)INT_MAX },
        { .kind = FC_CONSTANT_LOSS },
        { .kind = FC_CONSTANT_LOSS, .pressure = nan },
        { .kind = FC_CONSTANT_LOSS, .pressure = below },
        { .kind = FC_SQUARE_LOSS, .pressure = one },
        { .kind = FC_SQUARE_LOSS, .flow = one },
        { .kind = FC_SQUARE_LOSS, .pressure = one, .flow = nan },
        { .kind = FC_SQUARE_LOSS, .pressure = nan, .flow = one },
        { .kind = FC_SQUARE_LOSS, .pressure = one, .flow = below },
        { .kind = FC_SQUARE_LOSS, .pressure = one, .flow = none },
        { .kind = FC_CURVE_LOSS },
        { .kind = FC_NO_LOSS, .n_points = SIZE_MAX },
    };
    fc_loss *const loss = member(offset);

    for (int i = 0; i < COUNT(losses); i++) {
        *loss = losses[i];
        refused_member();
    }
    loss->kind = FC_CURVE_LOSS;
    on.good = on.bad; /* for a while: the kind goes with the points */
    try_points(offset + offsetof(fc_loss, points),
               offset + offsetof(fc_loss, n_points));
}

static void
try_fittings(size_t at, size_t n)
{
    static const fc_fitting wrong[] = {
        { 0, "elbow 90" }, { -1, "elbow 90" }, { INT_MAX, "elbow 90" },
        { 1, NULL },       { 1, "elbow\n90" },
    };

    try_counts(at, n);
    for (int i = 0; i < COUNT(wrong); i++)
        try_list(at, n, &wrong[i], 1);
}

static void
try_flushing(size_t at, size_t n)
{
    static const fc_flushing wrong[] = {
        { -1, "wc" },
        { INT_MAX, "wc" },
        { 1, NULL },
        { 1, "w\nc" },
    };

    try_counts(at, n);
    for (int i = 0; i < COUNT(wrong); i++)
        try_list(at, n, &wrong[i], 1);
}

static void
try_spells(size_t at, size_t n)
{
    static const fc_spell wrong[] = {
        { 0, 1 },   { -1, 1 }, { INT_MAX, 1 },  { 1, 0 },
        { 1, NAN }, { 1, -1 }, { 1, INFINITY }, { 2, 366 * 86400.0 },
    };

    try_counts(at, n);
    for (int i = 0; i < COUNT(wrong); i++)
        try_list(at, n, &wrong[i], 1);
}

static void
try_names(size_t at, size_t n)
{
    static const char *const wrong[] = { NULL, "l\nav", "\033" };

    try_counts(at, n);
    for (int i = 0; i < COUNT(wrong); i++)
        try_list(at, n, &wrong[i], 1);
}

static void
try_deviation(size_t offset)
{
    static const fc_deviation wrong[] = {
        { true, false, NAN },   { true, false, -1 }, { true, false, INFINITY },
        { true, false, 1e300 }, { true, true, NAN }, { true, true, 1 },
        { true, true, -0.1 },   { true, true, 1e9 },
    };

    for (int i = 0; i < COUNT(wrong); i++) {
        memcpy(member(offset), &wrong[i], sizeof wrong[i]);
        refused_member();
    }
}

static void
try_count(size_t at, size_t counts)
{
    static const double wrong[][3] = {
        { 2, 1, NAN }, { 1.5, 1, 2 }, { 1, 2, 1 },
        { 0, 0, 0 },   { -1, -1, 1 }, { 2e6, 1, 2e6 },
    };
    const int none = 0;

    try_int(at, -1);
    try_int(at, 1000001);
    try_int(at, INT_MAX);
    try_int(at, INT_MIN);
    for (int i = 0; i < COUNT(wrong); i++) {
        memcpy(member(at), &none, sizeof none);
        try_range(counts, wrong[i][0], wrong[i][1], wrong[i][2]);
    }
}

static void
try_pair(size_t first, size_t second)
{
    const fc_range one = { true, 1, 1, 1 }, none = { 0 };

    memcpy(member(first), &one, sizeof one);
    memcpy(member(second), &none, sizeof none);
    refused_member();
    memcpy(member(first), &none, sizeof none);
    memcpy(member(second), &one, sizeof one);
    refused_member();
    memcpy(&on.good, &on.bad, sizeof on.good);
    memcpy((char *)&on.good + first, &one, sizeof one);
    memcpy((char *)&on.good + second, &one, sizeof one);
    on.bad = on.good;
    try_domain(first, on.field->domain);
    try_domain(second, FCI_POSITIVE);
}

/* ---- A member by its type, and every member --------------------------- */

static void
try_member(void)
{
    const struct fci_field *f = on.field;
    const struct fci_field_type *type = f->type;

    if (type == &fci_text_field || type == &fci_name_field)
        try_texts(f->offset, type == &fci_name_field);
    else if (type == &fci_figure_field || type == &fci_range_field
             || type == &fci_price_field || type == &fci_size_or_choose_field)
        try_domain(f->offset, f->domain);
    else if (type == &fci_height_field) {
        try_figures(f->offset);
        try_texts(f->second, true);
    } else if (type == &fci_count_field)
        try_count(f->offset, f->second);
    else if (type == &fci_yes_no_field) {
        try_int(f->offset, -1);
        try_int(f->offset, FC_NO + 1);
        try_int(f->offset, INT_MAX);
    } else if (type == &fci_choice_field || type == &fci_said_choice_field)
        try_choices(f->offset);
    else if (type == &fci_loss_field)
        try_loss(f->offset);
    else if (type == &fci_points_field || type == &fci_flow_test_field)
        try_points(f->offset, f->second);
    else if (type == &fci_figure_at_field)
        try_pair(f->offset, f->second);
    else if (type == &fci_fittings_field)
        try_fittings(f->offset, f->second);
    else if (type == &fci_names_field)
        try_names(f->offset, f->second);
    else if (type == &fci_spells_field)
        try_spells(f->offset, f->second);
    else if (type == &fci_deviation_field)
        try_deviation(f->offset);
    else if (type == &fci_flushing_field || type == &fci_while_field)
        try_flushing(f->offset, f->second);
    else
        ck_assert_msg(type == &fci_open_field, /* the same member again */
                      "nothing is tried of \"%s\"", f->key);
}

static void
take(const struct fci_part *part, const void *given)
{
    fc_site *site = fc_site_new();
    fc_diagnostics *list = fresh();

    on.kind = part->kind;
    memset(&on.good, 0, sizeof on.good);
    memcpy(&on.good, given, fci_part_kinds[part->kind].size);
    ck_assert_msg(add_part(site, on.kind, &on.good, list) == FC_OK, "%s",
                  all_messages(list));
    fc_site_free(site);
}

START_TEST(every_member)
{
    fc_site *site = every_kind();
    bool seen[FCI_KINDS] = { false };
    int members = 0;

    for (size_t i = 0; i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];
        const struct fci_part_kind *kind = &fci_part_kinds[part->kind];

        if (seen[part->kind])
            continue;
        seen[part->kind] = true;
        for (size_t k = 0; k < kind->n_fields; k++, members++) {
            take(part, site->given[i]);
            on.bad = on.good;
            on.field = &kind->fields[k];
            try_member();
        }
    }
    for (int i = 0; i < FCI_KINDS; i++) {
        ck_assert_msg(seen[i], "no part is a %s", fci_part_kinds[i].word);
        tried(call_of_kind((enum fci_kind)i));
    }
    ck_assert_int_gt(members, 150);
    ck_assert_int_gt(on.tried, 1500);
    fc_site_free(site);
}
END_TEST

/* ---- What is no key of a file ----------------------------------------- */

static const struct fci_part *
part_of(const fc_site *site, enum fci_kind kind)
{
    size_t i = 0;

    while (i < site->n_parts && site->parts[i].kind != kind)
        i++;
    ck_assert_uint_lt(i, site->n_parts);
    take(&site->parts[i], site->given[i]);
    on.bad = on.good;
    return &site->parts[i];
}

static void
try_name(const char *name)
{
    memcpy(&on.bad, &name, sizeof name);
    refused_with("name");
}

START_TEST(names)
{
    static char overlong[66];
    fc_site *site = every_kind();

    memset(overlong, 'a', sizeof overlong - 1);
    for (int i = 0; i < FCI_KINDS; i++)
        if (fci_part_kinds[i].named) {
            part_of(site, (enum fci_kind)i);
            try_name(NULL);
            try_name("");
            try_name(overlong);
            try_name("a b");
            try_name("a\nb");
            try_name("a\033b");
            try_name("a\xff");
        }
    fc_site_free(site);
}
END_TEST

START_TEST(no_part)
{
    for (int i = 0; i < FCI_KINDS; i++) {
        fc_site *site = fc_site_new();

        ck_assert_int_eq(add_part(NULL, (enum fci_kind)i, NULL, fresh()),
                         FC_EINPUT);
        ck_assert_uint_eq(fc_diagnostics_count(said), 1);
        ck_assert_int_eq(add_part(site, (enum fci_kind)i, NULL, fresh()),
                         FC_EINPUT);
        ck_assert_uint_eq(fc_diagnostics_count(said), 1);
        ck_assert_int_eq(fc_site_finish(site, NULL), FC_EINPUT);
        fc_site_free(site);
    }
}
END_TEST

START_TEST(others)
{
    static const int kinds[] = { -1, FC_DEVICE + 1, INT_MAX };
    fc_site *site = every_kind();

    for (int i = 0; i < COUNT(kinds); i++) {
        part_of(site, FCI_DEVICE);
        on.bad.device.kind = (fc_device_kind)kinds[i];
        refused_with("fc_device_kind");
        part_of(site, FCI_CLAIM);
        on.bad.claim.condition =
            (fc_condition_of_claim)(i == 1 ? FC_WHILE_ALONE + 1 : kinds[i]);
        refused_with("while");
    }
    part_of(site, FCI_CLAIM);
    on.bad.claim.condition = FC_WHILE_PEAK;
    refused_with("while");
    fc_site_free(site);
}
END_TEST

START_TEST(rows_of_prices)
{
#define SIZE                                                                  \
    {                                                                         \
        true, 0.05, 0.05, 0.05                                                \
    }
    static const fc_price wrong[] = {
        { SIZE, NAN },
        { SIZE, -1 },
        { SIZE, INFINITY },
        { SIZE, 1e300 },
        { { false, 0, 0, 0 }, 1 },
        { { true, NAN, NAN, NAN }, 1 },
        { { true, -1, -1, -1 }, 1 },
        { { true, 0.05, 0.04, 0.06 }, 1 },
    };
    fc_site *site = every_kind();

    part_of(site, FCI_PRICES);
    for (int i = 0; i < COUNT(wrong); i++) {
        on.bad.prices.prices = &wrong[i];
        on.bad.prices.n_prices = 1;
        refused_with("[prices");
    }
    on.bad.prices.n_prices = SIZE_MAX;
    refused_with("[prices");
    on.bad.prices.prices = NULL;
    refused_with("[prices");
    fc_site_free(site);
}
END_TEST

/* What stands in them is seen to on finishing. */
START_TEST(rows_of_floors)
{
    static const fc_floor wrong[] = {
        { NULL, SIZE },
        { "", SIZE },
        { "1\n", SIZE },
        { "\033", SIZE },
        { "1", { false, 0, 0, 0 } },
        { "1", { true, NAN, NAN, NAN } },
        { "1", { true, 1, 2, 1 } },
        { "1", { true, INFINITY, INFINITY, INFINITY } },
    };
    fc_site *site = every_kind(), *bad;

    part_of(site, FCI_FLOORS);
    for (int i = 0; i < COUNT(wrong); i++) {
        bad = fc_site_new();
        on.bad.floors.floors = &wrong[i];
        on.bad.floors.n_floors = 1;
        ck_assert_int_eq(fc_site_set_floors(bad, &on.bad.floors, NULL), FC_OK);
        ck_assert_int_eq(fc_site_finish(bad, fresh()), FC_EINPUT);
        ck_assert_ptr_nonnull(strstr(all_messages(said), "[floors]"));
        fc_site_free(bad);
    }
    on.bad.floors.n_floors = SIZE_MAX;
    refused_with("[floors");
    on.bad.floors.floors = NULL;
    refused_with("[floors");
    fc_site_free(site);
}
END_TEST

TCase *
tcase_of_parts(void)
{
    TCase *tcase = tcase_create("parts");

    tcase_add_test(tcase, every_member);
    tcase_add_test(tcase, names);
    tcase_add_test(tcase, no_part);
    tcase_add_test(tcase, others);
    tcase_add_test(tcase, rows_of_prices);
    tcase_add_test(tcase, rows_of_floors);
    return tcase;
}
