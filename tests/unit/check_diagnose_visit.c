/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_diagnose_visit.c -- what a visit to a building may bring
 * besides pressures: looks, outlets that are opened, another gauge, a watch;
 * with figures that a sheet of paper gives.
 */
#include "unit/diagnose_visit.h"

#include <math.h>
#include <string.h>

fc_site *visited;
fc_diagnosis *said;

void
ask(const char *text)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status;

    visited = site_of(text);
    said = NULL;
    status = fc_diagnose(visited, NULL, &said, messages);
    ck_assert_msg(status == FC_OK, "%s: %s", fc_status_text(status),
                  all_messages(messages));
    fc_diagnostics_free(messages);
}

void
put_away(void)
{
    fc_diagnosis_free(said);
    fc_site_free(visited);
}

/* Two halves of a site file. */
static void
ask_with(const char *text, const char *more)
{
    char whole[8192];

    ck_assert_int_lt(snprintf(whole, sizeof whole, "%s%s", text, more),
                     (int)sizeof whole);
    ask(whole);
}

static const fc_fault *
fault_in(const fc_cause *cause, fc_cause_kind kind, const char *element)
{
    size_t k;

    for (k = 0; k < cause->n_faults; k++)
        if (cause->faults[k].kind == kind
            && (!element || strcmp(cause->faults[k].element, element) == 0))
            return &cause->faults[k];
    return NULL;
}

/* Of all causes that have this fault, alone or beside another. */
static double
weight_of(fc_cause_kind kind, const char *element)
{
    double sum = 0;
    size_t i;

    for (i = 0; i < said->n_causes; i++)
        if (fault_in(&said->causes[i], kind, element))
            sum += said->causes[i].weight;
    return sum;
}

static const fc_cause *
single(fc_cause_kind kind, const char *element)
{
    size_t i;

    for (i = 0; i < said->n_causes; i++)
        if (said->causes[i].n_faults == 1
            && fault_in(&said->causes[i], kind, element))
            return &said->causes[i];
    return NULL;
}

static const char *
next_words(void)
{
    return said->next.text ? said->next.text : "no next";
}

/* That this one fault is found, and nothing else. */
static const fc_fault *
found(fc_cause_kind kind, const char *element)
{
    const fc_cause *cause = single(kind, element);
    size_t i;

    ck_assert_msg(said->verdict == FC_ONE_FAULT && said->decided
                      && said->explained,
                  "%s %s", said->text, next_words());
    ck_assert_msg(cause && cause->found && cause->explains, "%s", said->text);
    for (i = 0; i < said->n_causes; i++)
        ck_assert_msg(&said->causes[i] == cause || !said->causes[i].found,
                      "%s", said->causes[i].text);
    return &cause->faults[0];
}

static bool
any_finding(fc_finding_code code)
{
    size_t i;

    for (i = 0; i < said->n_findings; i++)
        if (said->findings[i].code == code)
            return true;
    return false;
}

/* A look that rules a fault out leaves it a chance of less than this. */
#define RULED_OUT 0.01

static void
ruled_out(fc_cause_kind kind, const char *element)
{
    const fc_cause *cause = single(kind, element);

    ck_assert_msg(weight_of(kind, element) < RULED_OUT, "%g: %s",
                  weight_of(kind, element), said->text);
    ck_assert_msg(!cause || !cause->found, "%s", said->text);
}

/* A foot of water at 60 degF is 62.366 lb/ft3 / 144 (Kell) [psi]. */
#define WATER 0.43310

/* Hazen-Williams as published, V = 1.318 C R^0.63 S^0.54 in feet and seconds
 * [psi]. */
static double
friction(double gpm, double feet, double inches, double c)
{
    const double bore = inches / 12, flow = gpm * 231.0 / 1728 / 60;
    const double velocity = flow / (3.14159265358979 / 4 * bore * bore);

    return WATER * feet
           * pow(velocity / (1.318 * c * pow(bore / 4, 0.63)), 1 / 0.54);
}

/* ---- Looks at stops and strainers -------------------------------------- */

/* 80 psi ahead of a strainer that takes 10 psi at 25 gpm, k = 0.016 psi/gpm2,
 * and a valve that takes 25 psi at 25 gpm, 0.04.  With 0.024 more on the way
 * 80 / 0.08 = 1000 gpm2 flow, 31.623 gpm; the valve keeps 40 psi, the strainer
 * takes 16 and what is in the way 24.  That is anywhere ahead of the gauge at
 * the valve.  What a stop loses is told at the rate of its valve: 0.024 * 625
 * = 15 psi at 25 gpm. */
#define WAY                                                                   \
    "[site]\ntitle = Invented\n"                                              \
    "[source main]\nkind = fixed\npressure = 80 psi\n"                        \
    "[device strainer]\nfrom = main\nloss = 10 psi at 25 gpm\n"               \
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"          \
    "[fixture wc]\non = strainer\nkind = water closet, flush valve\n"         \
    "existing = v\n"                                                          \
    "[reading r1]\nat = main\npressure = 80 psi\nwithin = 0.1 psi\n"          \
    "flushing = wc\n"                                                         \
    "[reading r2]\nat = wc\npressure = 80 psi\nwithin = 0.1 psi\n"            \
    "[reading r3]\nat = wc\npressure = 40 psi\nwithin = 0.1 psi\n"            \
    "flushing = wc\n"
#define FLOW 31.623

START_TEST(asks_which_is_in_the_way)
{
    ask(WAY);
    ck_assert_int_eq(said->verdict, FC_NARROWED_DOWN);
    ck_assert(weight_of(FC_STOP_THROTTLED, "wc") > 0.05);
    ck_assert(weight_of(FC_BLOCKED, "strainer") > 0.05);
    /* each in a minute, without a gauge */
    ck_assert_msg(said->next.kind == FC_TASK_STOP
                      || said->next.kind == FC_TASK_STRAINER,
                  "%s", next_words());
    put_away();
}
END_TEST

START_TEST(sees_a_stop_shut)
{
    const fc_fault *fault;

    ask(WAY "[look l]\nat = wc\nshows = shut\n");
    fault = found(FC_STOP_THROTTLED, "wc");
    ck_assert_double_eq_tol(fault->value / PSI, 15, 0.2);
    ck_assert_double_eq_tol(fault->flow / GPM, 25, 1e-6);
    put_away();
}
END_TEST

START_TEST(sees_a_stop_open)
{
    ask(WAY "[look l]\nat = wc\nshows = open\n");
    ruled_out(FC_STOP_THROTTLED, "wc");
    ck_assert_int_eq(said->causes[0].faults[0].kind, FC_BLOCKED);
    put_away();
}
END_TEST

START_TEST(sees_a_strainer_clogged)
{
    const fc_fault *fault;

    ask(WAY "[look l]\nat = strainer\nshows = clogged\n");
    fault = found(FC_BLOCKED, "strainer");
    ck_assert_double_eq_tol(fault->value / PSI, 24, 0.3);
    ck_assert_double_eq_tol(fault->flow / GPM, FLOW, 0.1);
    put_away();
}
END_TEST

/* A valve beside it may be what is shut: that is left, and the stop. */
START_TEST(sees_a_strainer_clean)
{
    double before;

    ask(WAY);
    before = weight_of(FC_BLOCKED, "strainer");
    put_away();
    ask(WAY "[look l]\nat = strainer\nshows = clean\n");
    ck_assert(weight_of(FC_BLOCKED, "strainer") < before);
    ck_assert_int_eq(said->causes[0].faults[0].kind, FC_STOP_THROTTLED);
    put_away();
    ask(WAY "[look l]\nat = strainer\nshows = clean\n"
            "[look k]\nat = strainer\nshows = open\n");
    ck_assert(weight_of(FC_BLOCKED, "strainer")
              < weight_of(FC_STOP_THROTTLED, "wc") / 5);
    put_away();
}
END_TEST

/* What a strainer and its valves do not show of what blocks it is left, and
 * checks out it does not. */
START_TEST(sees_all_in_order)
{
    ask(WAY "[look l]\nat = strainer\nshows = clean\n"
            "[look k]\nat = strainer\nshows = open\n"
            "[look m]\nat = wc\nshows = open\n");
    ck_assert(weight_of(FC_STOP_THROTTLED, "wc")
              < weight_of(FC_BLOCKED, "strainer") / 10);
    ck_assert_msg(said->verdict != FC_CHECKS_OUT
                      && said->verdict != FC_CHECKS_OUT_SHORT,
                  "%s", said->text);
    put_away();
}
END_TEST

/* 25 gpm by a valve that is regulated, through a pipe that takes next to
 * nothing, of a foot by a foot: 50 of 80 psi are left, so that 30 are lost. */
#define STREET                                                                \
    "[site]\ntitle = Invented\n"                                              \
    "[source main]\nkind = street main\nstatic = 80 psi\n"                    \
    "residual = 79.9 psi\nresidual flow = 1000 gpm\nwithin = 0 psi\n"         \
    "[pipe riser]\nfittings = none\nfrom = main\nc = 150\n"                   \
    "inside diameter = 12 in\nlength = 1 ft\n"                                \
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 10 psi\n"          \
    "regulated = yes\n"                                                       \
    "[fixture wc]\non = riser\nkind = water closet, flush valve\n"            \
    "existing = v\n"                                                          \
    "[reading r1]\nat = main\npressure = 80 psi\nwithin = 0.1 psi\n"          \
    "[reading r2]\nat = riser\npressure = 80 psi\nwithin = 0.1 psi\n"         \
    "[reading r3]\nat = riser\npressure = 50 psi\nwithin = 0.1 psi\n"         \
    "flushing = wc\n"

START_TEST(sees_a_curb_stop)
{
    const fc_fault *fault;
    double open;

    ask(STREET "[look l]\nat = main\nshows = shut\n");
    fault = found(FC_SUPPLY_SAG, "main");
    ck_assert_double_eq_tol(fault->value / PSI, 30, 0.3);
    ck_assert_double_eq_tol(fault->flow / GPM, 25, 0.1);
    put_away();
    ask(STREET "[look l]\nat = main\nshows = open\n");
    open = weight_of(FC_SUPPLY_SAG, "main");
    put_away();
    ask(STREET);
    ck_assert(open < weight_of(FC_SUPPLY_SAG, "main"));
    put_away();
}
END_TEST

/* ---- Dials and pumps --------------------------------------------------- */

/* 15 gpm that run on take 0.016 * 225 = 3.6 psi of 80 in the meter. */
#define METER                                                                 \
    "[site]\ntitle = Invented\n"                                              \
    "[source main]\nkind = fixed\npressure = 80 psi\n"                        \
    "[meter m]\nfrom = main\nloss = 10 psi at 25 gpm\n"                       \
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"          \
    "[fixture wc]\non = m\nkind = water closet, flush valve\n"                \
    "existing = v\n"                                                          \
    "[reading r1]\nat = main\npressure = 80 psi\nwithin = 0.1 psi\n"          \
    "[reading r2]\nat = wc\npressure = 76.4 psi\nwithin = 0.1 psi\n"          \
    "[reading r3]\nat = m\npressure = 76.4 psi\nwithin = 0.1 psi\n"

static const struct {
    const char *lines;
    bool turns;
} dials[] = {
    { "[look l]\nat = m\nshows = turns\n", true },
    { "[look l]\nat = m\nshows = still\n", false },
    { "[reading d]\nat = m\ndial = turns\n", true },
    { "[reading d]\nat = m\ndial = still\n", false },
};

START_TEST(watches_a_dial)
{
    ask_with(METER, dials[_i].lines);
    if (dials[_i].turns)
        ck_assert_double_eq_tol(found(FC_RUNNING_OUTLET, "m")->value / GPM, 15,
                                0.5);
    else
        ruled_out(FC_RUNNING_OUTLET, NULL);
    put_away();
}
END_TEST

/* Behind the dial water runs, and what was read is as it is with nothing amiss
 * too: the look is told, and no cause is made of it. */
START_TEST(watches_a_dial_of_two_ways)
{
    ask("[site]\ntitle = Invented\n"
        "[source main]\nkind = fixed\npressure = 80 psi\n"
        "[meter m]\nfrom = main\nloss = 10 psi at 25 gpm\n"
        "[device s]\nfrom = m\nloss = 1 psi at 25 gpm\n"
        "[fixture bibb]\non = m\nkind = hose bibb\nfixture units = 3\n"
        "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"
        "[fixture wc]\non = s\nkind = water closet, flush valve\n"
        "existing = v\n"
        "[reading r1]\nat = main\npressure = 80 psi\n"
        "[reading r2]\nat = wc\npressure = 80 psi\n"
        "[reading r3]\nat = wc\npressure = 56 psi\nflushing = wc\n"
        "[look l]\nat = m\nshows = turns\n");
    ck_assert_int_ne(said->verdict, FC_ONE_FAULT);
    ck_assert(any_finding(FC_FOUND_SEEN));
    put_away();
}
END_TEST

/* 100 ft of head are 43.31 psi: 83.31 on 40, and 40 without. */
#define PUMP                                                                  \
    "[site]\ntitle = Invented\n"                                              \
    "[source main]\nkind = fixed\npressure = 40 psi\n"                        \
    "[pump set]\nfrom = main\ncurve = 0 gpm 100 ft, 50 gpm 100 ft\n"          \
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 10 psi\n"          \
    "regulated = yes\n"                                                       \
    "[fixture wc]\non = set\nkind = water closet, flush valve\n"              \
    "existing = v\n"                                                          \
    "[reading r1]\nat = main\npressure = 40 psi\nwithin = 0.1 psi\n"          \
    "flushing = wc\n"                                                         \
    "[reading r2]\nat = set\npressure = 40 psi\nwithin = 0.1 psi\n"           \
    "flushing = wc\n"                                                         \
    "[reading r3]\nat = set\npressure = 40 psi\nwithin = 0.1 psi\n"

START_TEST(looks_at_a_pump)
{
    ask(PUMP "[look l]\nat = set\nshows = still\n");
    ck_assert(isnan(found(FC_PUMP_OFF, "set")->value));
    put_away();
    ask(PUMP "[look l]\nat = set\nshows = turns\n");
    ruled_out(FC_PUMP_OFF, "set");
    put_away();
}
END_TEST

/* ---- Tapes ------------------------------------------------------------- */

/* A riser of 20 ft, so long and with this read on top of it. */
static void
tape(const char *length, double psi, const char *look)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[pipe riser]\nfittings = none\nfrom = main\nc = 150\n"
             "inside diameter = 12 in\nlength = %s\nrise = 20 ft\n"
             "[fixture wc]\non = riser\n"
             "kind = water closet, flush valve\n"
             "[reading r1]\nat = main\npressure = 80 psi\n"
             "within = 0.1 psi\n"
             "[reading r2]\nat = riser\npressure = %.3f psi\n"
             "within = 0.1 psi\n"
             "[reading r3]\nat = wc\npressure = %.3f psi\n"
             "within = 0.1 psi\n%s",
             length, psi, psi, look);
    ask(text);
}

/* On top of 20 ft 80 - 8.662 psi are left, and of 30 ft 80 - 12.993. */
#define ON_TOP(feet) (80 - WATER * (feet))

static const char *const lengths[] = { "60 ft", "25 ft" };

START_TEST(tapes_another_rise)
{
    /* found is what the tape says, a tenth of a foot at the most off it */
    tape(lengths[_i], ON_TOP(30), "[look l]\nat = riser\nrise = 30 ft\n");
    ck_assert_double_eq_tol(found(FC_HEIGHT, "riser")->value / FOOT, 10, 0.1);
    put_away();
}
END_TEST

/* The same, and by gauges that may be 2 psi off it is 3 ft more, 1.3 psi. */
START_TEST(tells_the_rise_by_the_tape)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[pipe riser]\nfittings = none\nfrom = main\nc = 150\n"
             "inside diameter = 12 in\nlength = 60 ft\nrise = 20 ft\n"
             "[fixture wc]\non = riser\n"
             "kind = water closet, flush valve\n"
             "[reading r1]\nat = main\npressure = 80 psi\n"
             "[reading r2]\nat = riser\npressure = %.3f psi\n"
             "[reading r3]\nat = wc\npressure = %.3f psi\n"
             "[look l]\nat = riser\nrise = 30 ft\n",
             ON_TOP(33), ON_TOP(33));
    ask(text);
    ck_assert_double_eq_tol(found(FC_HEIGHT, "riser")->value / FOOT, 10, 0.1);
    put_away();
}
END_TEST

START_TEST(tapes_the_rise_of_the_file)
{
    tape("60 ft", ON_TOP(20), "[look l]\nat = riser\nrise = 20 ft\n");
    ck_assert_msg(said->verdict == FC_STATIC_ONLY && said->as_described, "%s",
                  said->text);
    ck_assert_uint_eq(said->n_causes, 0);
    put_away();
    tape("60 ft", ON_TOP(30), "[look l]\nat = riser\nrise = 20 ft\n");
    ruled_out(FC_HEIGHT, "riser");
    put_away();
}
END_TEST

/* What is taped within the range of the file is all that is left of it: 28 ft
 * leave 80 - 12.127 psi, and 20 ft 80 - 8.662. */
static void
tape_range(double psi)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[pipe riser]\nfittings = none\nfrom = main\nc = 150\n"
             "inside diameter = 12 in\nlength = 60 ft\nrise = 10..30 ft\n"
             "[fixture wc]\non = riser\n"
             "kind = water closet, flush valve\n"
             "[reading r1]\nat = main\npressure = 80 psi\n"
             "within = 0.1 psi\n"
             "[reading r2]\nat = riser\npressure = %.3f psi\n"
             "within = 0.1 psi\n"
             "[reading r3]\nat = wc\npressure = %.3f psi\n"
             "within = 0.1 psi\n"
             "[look l]\nat = riser\nrise = 28 ft\n",
             psi, psi);
    ask(text);
}

START_TEST(tapes_a_rise_of_its_range)
{
    tape_range(ON_TOP(28));
    ck_assert_int_eq(said->verdict, FC_STATIC_ONLY);
    put_away();
    tape_range(ON_TOP(20));
    ck_assert(!said->as_described);
    ruled_out(FC_HEIGHT, "riser");
    put_away();
}
END_TEST

/* 15 gpm through 60 ft of 1 in, 3/4 in or 5/8 in copper L at C = 140: bores of
 * 1.025 in, 0.785 in and 0.666 in (ASTM B88). */
static void
measure_size(double bore, const char *look)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\nmaterial = copper L\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[pipe run]\nfittings = none\nfrom = main\nc = 140\n"
             "size = 1 in\nlength = 60 ft\n"
             "[valve v]\nminimum flowing = 5 psi\nflow = 15 gpm at 5 psi\n"
             "regulated = yes\n"
             "[fixture wc]\non = run\nkind = water closet, flush valve\n"
             "existing = v\n"
             "[reading r1]\nat = main\npressure = 80 psi\nflushing = wc\n"
             "within = 0.1 psi\n"
             "[reading r2]\nat = run\npressure = 80 psi\nwithin = 0.1 psi\n"
             "[reading r3]\nat = run\npressure = %.4f psi\nflushing = wc\n"
             "within = 0.1 psi\n%s",
             80 - friction(15, 60, bore, 140), look);
    ask(text);
}

START_TEST(measures_a_size)
{
    measure_size(0.785, "[look l]\nat = run\nsize = 3/4 in\n");
    ck_assert_double_eq_tol(found(FC_SMALLER_SIZE, "run")->value / 0.0254,
                            0.75, 1e-9);
    ck_assert_str_eq(said->causes[0].text,
                     "pipe run one size smaller than entered: 3/4 in");
    put_away();
    measure_size(0.666, "[look l]\nat = run\nsize = 5/8 in\n");
    ck_assert_double_eq_tol(found(FC_SMALLER_SIZE, "run")->value / 0.0254,
                            0.625, 1e-9);
    ck_assert_str_eq(said->causes[0].text,
                     "pipe run 5/8 in, smaller than entered");
    put_away();
    measure_size(0.785, "[look l]\nat = run\nsize = 1 in\n");
    ruled_out(FC_SMALLER_SIZE, "run");
    put_away();
    measure_size(1.025, "[look l]\nat = run\nsize = 1 in\n");
    ck_assert_int_eq(said->verdict, FC_CHECKS_OUT);
    put_away();
}
END_TEST

/* 100 ft by the file, of 1 in bore at C = 120, that take this at 25 gpm: of
 * 60 ft three fifths of that are expected. */
static void
measure_length(double psi, const char *look)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 95 psi\n"
             "[pipe run]\nfittings = none\nfrom = main\nc = 120\n"
             "inside diameter = 1 in\nlength = 100 ft\n"
             "[valve v]\nminimum flowing = 5 psi\nflow = 25 gpm at 5 psi\n"
             "regulated = yes\n"
             "[fixture wc]\non = run\nkind = water closet, flush valve\n"
             "existing = v\n"
             "[reading r1]\nat = main\npressure = 95 psi\nflushing = wc\n"
             "within = 0.1 psi\n"
             "[reading r2]\nat = run\npressure = %.4f psi\nflushing = wc\n"
             "within = 0.1 psi\n%s",
             95 - psi, look);
    ask(text);
}

START_TEST(measures_a_length)
{
    static const char *const look = "[look l]\nat = run\nlength = 60 ft\n";

    measure_length(friction(25, 60, 1, 120), "");
    ck_assert(!said->as_described);
    put_away();
    measure_length(friction(25, 60, 1, 120), look);
    ck_assert_msg(said->verdict == FC_CHECKS_OUT && said->as_described, "%s",
                  said->text);
    put_away();
    measure_length(friction(25, 100, 1, 120), look);
    ck_assert_msg(!said->as_described, "%s", said->text);
    put_away();
}
END_TEST

START_TEST(expects_by_a_measured_length)
{
    measure_length(friction(25, 60, 1, 120),
                   "[look l]\nat = run\nlength = 60 ft\n");
    ck_assert_double_eq_tol(said->readings[1].expected / PSI,
                            95 - friction(25, 60, 1, 120), 0.02);
    ck_assert(said->readings[1].as_described);
    put_away();
}
END_TEST

/* 100 ft at C = 120 lose what 60 ft do at 120 * 0.6^0.54 = 91.07, so that a
 * file of 100 ft whose 60 were measured is rough, and nothing else. */
START_TEST(explains_with_a_measured_length)
{
    measure_length(friction(25, 100, 1, 120),
                   "[look l]\nat = run\nlength = 60 ft\n");
    ck_assert_msg(said->explained, "%s", said->text);
    ck_assert_ptr_nonnull(single(FC_PIPE_ROUGHNESS, NULL));
    ck_assert_double_eq_tol(single(FC_PIPE_ROUGHNESS, NULL)->faults[0].value,
                            120 * pow(0.6, 0.54), 0.5);
    put_away();
}
END_TEST

/* What was measured and what was read cannot both be: 30 ft by the tape where
 * gauges have 20; 3/4 in where they have 1 in. */
START_TEST(does_not_pass_over_what_was_measured)
{
    tape("60 ft", ON_TOP(20), "[look l]\nat = riser\nrise = 30 ft\n");
    ck_assert_msg(said->verdict != FC_STATIC_ONLY && !said->as_described, "%s",
                  said->text);
    put_away();
    measure_size(1.025, "[look l]\nat = run\nsize = 3/4 in\n");
    ck_assert_msg(said->verdict != FC_CHECKS_OUT, "%s", said->text);
    put_away();
}
END_TEST

/* Of 3/4 or 1 in, 1 in was measured, and 3/4 in would take what was read. */
START_TEST(measures_a_size_of_its_range)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\nmaterial = copper L\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[pipe run]\nfittings = none\nfrom = main\nc = 140\n"
             "size = 3/4 in .. 1 in\nlength = 60 ft\n"
             "[valve v]\nminimum flowing = 5 psi\nflow = 15 gpm at 5 psi\n"
             "regulated = yes\n"
             "[fixture wc]\non = run\nkind = water closet, flush valve\n"
             "existing = v\n"
             "[reading r1]\nat = main\npressure = 80 psi\nflushing = wc\n"
             "within = 0.1 psi\n"
             "[reading r2]\nat = run\npressure = 80 psi\nwithin = 0.1 psi\n"
             "[reading r3]\nat = run\npressure = %.4f psi\nflushing = wc\n"
             "within = 0.1 psi\n[look l]\nat = run\nsize = 1 in\n",
             80 - friction(15, 60, 0.785, 140));
    ask(text);
    ck_assert_msg(!said->as_described && said->verdict != FC_CHECKS_OUT, "%s",
                  said->text);
    put_away();
}
END_TEST

/* ---- Where a gauge fits ------------------------------------------------ */

/* Two strainers with a pipe between: what is lost is lost in one of them, and
 * a gauge between would tell which; as in splits_a_stretch of
 * diagnose_by_hand.c. */
static void
stretch(const char *first, const char *between, const char *closet)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[device first]\nfrom = main\nloss = 10 psi at 25 gpm\n%s"
             "[pipe between]\nfittings = none\nfrom = first\nc = 150\n"
             "inside diameter = 12 in\nlength = 1 ft\n%s"
             "[device second]\nfrom = between\nloss = 0 psi at 25 gpm\n"
             "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"
             "[fixture wc]\non = second\n"
             "kind = water closet, flush valve\nexisting = v\n%s"
             "[look a]\nat = first\nshows = clean\n"
             "[look b]\nat = second\nshows = clean\n"
             "[look c]\nat = first\nshows = open\n"
             "[look d]\nat = second\nshows = open\n"
             "[reading r1]\nat = main\npressure = 80 psi\n"
             "within = 0.5 psi\nflushing = wc\n"
             "[reading r2]\nat = second\npressure = 80 psi\n"
             "within = 0.5 psi\n"
             "[reading r3]\nat = second\npressure = 43.478 psi\n"
             "within = 0.5 psi\nflushing = wc\n"
             "[reading r4]\nat = wc\nflow = 32.969 gpm\nflushing = wc\n",
             first, between, closet);
    ask(text);
}

static bool
next_is(const char *at)
{
    return said->next.at && strcmp(said->next.at, at) == 0;
}

START_TEST(puts_a_gauge_where_it_fits)
{
    stretch("", "", "");
    ck_assert_msg(next_is("first"), "%s", next_words());
    put_away();
    stretch("gauge = no\n", "", "");
    ck_assert_msg(!next_is("first") && !next_is("between"), "%s",
                  next_words());
    put_away();
    stretch("gauge = no\n", "gauge = yes\n", "");
    ck_assert_msg(next_is("between"), "%s", next_words());
    ck_assert_int_eq(said->next.kind, FC_TASK_PRESSURE);
    put_away();
}
END_TEST

/* The strainer or the stop behind it, and only a gauge at the meter between
 * them would tell: where none fits it is not asked for. */
START_TEST(puts_no_gauge_at_a_meter_without_a_tapping)
{
    static const char *const lines[] = { "", "gauge = no\n" };
    size_t i;

    for (i = 0; i < 2; i++) {
        char text[2048];

        snprintf(text, sizeof text,
                 "[site]\ntitle = Invented\n"
                 "[source main]\nkind = fixed\npressure = 80 psi\n"
                 "[device strainer]\nfrom = main\nloss = 10 psi at 25 gpm\n"
                 "gauge = no\n"
                 "[meter m]\nfrom = strainer\nloss = 0 psi at 25 gpm\n%s"
                 "[valve v]\nminimum flowing = 10 psi\n"
                 "flow = 25 gpm at 25 psi\n"
                 "[fixture wc]\non = m\nkind = water closet, flush valve\n"
                 "existing = v\n"
                 "[look l]\nat = strainer\nshows = clean\n"
                 "[look k]\nat = m\nshows = clean\n"
                 "[look s]\nat = strainer\nshows = open\n"
                 "[look t]\nat = m\nshows = open\n"
                 "[reading r1]\nat = main\npressure = 80 psi\n"
                 "within = 0.1 psi\nflushing = wc\n"
                 "[reading r2]\nat = wc\npressure = 80 psi\n"
                 "within = 0.1 psi\n"
                 "[reading r3]\nat = wc\npressure = 40 psi\n"
                 "within = 0.1 psi\nflushing = wc\n",
                 lines[i]);
        ask(text);
        ck_assert_msg(!next_is("strainer"), "%s", next_words());
        if (i == 1)
            ck_assert_msg(!next_is("m"), "%s", next_words());
        put_away();
    }
}
END_TEST

/* What a gauge at the closet would tell apart, were there room for one: a stop
 * that keeps 24 psi, or 15.385 gpm that run on behind the pipe. */
START_TEST(puts_no_gauge_at_a_fixture_without_room)
{
    static const char *const lines[] = { "", "gauge = no\n" };
    size_t i;

    for (i = 0; i < 2; i++) {
        char text[2048];

        snprintf(text, sizeof text,
                 "[site]\ntitle = Invented\n"
                 "[source main]\nkind = fixed\npressure = 80 psi\n"
                 "[device strainer]\nfrom = main\nloss = 10 psi at 25 gpm\n"
                 "[valve v]\nminimum flowing = 10 psi\n"
                 "flow = 25 gpm at 25 psi\n"
                 "[fixture wc]\non = strainer\n"
                 "kind = water closet, flush valve\nexisting = v\n%s"
                 "[look s]\nat = wc\nshows = open\n"
                 /* 20 gpm leave 80 - 0.016 * 400 = 73.6 psi */
                 "[reading r1]\nat = strainer\npressure = 73.6 psi\n"
                 "within = 0.1 psi\nflushing = wc\n"
                 "[reading r2]\nat = strainer\npressure = 80 psi\n"
                 "within = 0.1 psi\n",
                 lines[i]);
        ask(text);
        if (i == 1)
            ck_assert_msg(!next_is("wc")
                              || said->next.kind != FC_TASK_PRESSURE,
                          "%s", next_words());
        put_away();
    }
}
END_TEST

/* ---- Outlets ----------------------------------------------------------- */

/* A bibb that passes 5 gpm at 8 psi takes 8 / 25 = 0.32 psi/gpm2.  Behind the
 * clean strainer 0.32 * 80 / 0.336 = 76.190 psi are left; with 0.08 more in it
 * 80 / 0.416 = 192.31 gpm2 flow, 13.868 gpm, 61.538 psi are left, and it takes
 * 0.08 * 192.31 = 15.385 psi more. */
#define BIBB                                                                  \
    "[site]\ntitle = Invented\n"                                              \
    "[source main]\nkind = fixed\npressure = 80 psi\n"                        \
    "[device strainer]\nfrom = main\nloss = 10 psi at 25 gpm\n"               \
    "[fixture bibb]\non = strainer\nkind = hose bibb\nfixture units = 3\n"    \
    "rate = 5 gpm at 8 psi\n"                                                 \
    "[reading r1]\nat = main\npressure = 80 psi\nwithin = 0.1 psi\n"          \
    "open = bibb\n"                                                           \
    "[reading r2]\nat = strainer\npressure = 80 psi\nwithin = 0.1 psi\n"

START_TEST(opens_a_bibb)
{
    const fc_fault *fault;

    ask(BIBB "[reading r3]\nat = strainer\npressure = 76.2 psi\n"
             "within = 0.1 psi\nopen = bibb\n");
    ck_assert_int_eq(said->verdict, FC_CHECKS_OUT);
    ck_assert_double_eq_tol(said->readings[2].expected / PSI, 76.190, 0.001);
    ck_assert(!said->readings[2].is_static);
    put_away();
    ask(BIBB "[reading r3]\nat = strainer\npressure = 61.538 psi\n"
             "within = 0.1 psi\nopen = bibb\n");
    /* it all hangs on one reading: it is taken again, and a look before it */
    ck_assert_msg(
        said->verdict == FC_NARROWED_DOWN
            && strcmp(said->next.at, "strainer") == 0
            && (said->next.kind == FC_TASK_STRAINER || said->next.again)
            && said->n_looks_first > 0,
        "%s", said->text);
    put_away();
    ask(BIBB "[reading r3]\nat = strainer\npressure = 61.538 psi\n"
             "within = 0.1 psi\nopen = bibb\n"
             "[look l]\nat = strainer\nshows = clogged\n");
    fault = found(FC_BLOCKED, "strainer");
    ck_assert_double_eq_tol(fault->value / PSI, 15.385, 0.2);
    ck_assert_double_eq_tol(fault->flow / GPM, 13.868, 0.1);
    put_away();
}
END_TEST

/* 1 gal in 6 s are 10 gpm: the strainer takes 0.016 * 100 = 1.6 psi of them
 * when it is clean, and 9.6 with 0.08 more, which are 8 psi too many.  What
 * kind of outlet it is nobody knows. */
#define BUCKET                                                                \
    "[site]\ntitle = Invented\n"                                              \
    "[source main]\nkind = fixed\npressure = 80 psi\n"                        \
    "[device strainer]\nfrom = main\nloss = 10 psi at 25 gpm\n"               \
    "[fixture tap]\non = strainer\nkind = urinal, flush tank\n"               \
    "[reading r1]\nat = main\npressure = 80 psi\nwithin = 0.1 psi\n"          \
    "open = tap\n"                                                            \
    "[reading r2]\nat = strainer\npressure = 80 psi\nwithin = 0.1 psi\n"      \
    "[reading r3]\nat = tap\nfilled = 1 gal in 6 s\n"

START_TEST(fills_a_bucket)
{
    const fc_fault *fault;

    ask(BUCKET "[reading r4]\nat = strainer\npressure = 78.4 psi\n"
               "within = 0.1 psi\nopen = tap\n");
    ck_assert_int_eq(said->verdict, FC_CHECKS_OUT);
    ck_assert_double_eq_tol(said->readings[2].read / GPM, 10, 1e-6);
    put_away();
    ask(BUCKET "[reading r4]\nat = strainer\npressure = 70.4 psi\n"
               "within = 0.1 psi\nopen = tap\n"
               "[look l]\nat = strainer\nshows = clogged\n");
    fault = found(FC_BLOCKED, "strainer");
    ck_assert_double_eq_tol(fault->flow / GPM, 10, 0.2);
    ck_assert_double_eq_tol(fault->value / PSI, 8, 0.2);
    put_away();
}
END_TEST

/* A tank that passes 3 gpm at 20 psi, 2.2222 psi/gpm2, behind a strainer of
 * 10 psi at 5 gpm, 0.4: 80 / 2.6222 = 30.508 gpm2 flow, and 67.797 psi are
 * left. */
START_TEST(fills_a_flushometer_tank)
{
    ask("[site]\ntitle = Invented\n"
        "[source main]\nkind = fixed\npressure = 80 psi\n"
        "[device strainer]\nfrom = main\nloss = 10 psi at 5 gpm\n"
        "[fixture tank]\non = strainer\n"
        "kind = water closet, flushometer tank\nrate = 3 gpm at 20 psi\n"
        "[reading r1]\nat = strainer\npressure = 67.8 psi\n"
        "within = 0.1 psi\nopen = tank\n"
        "[reading r2]\nat = tank\nflow = 5.52 gpm\nopen = tank\n");
    ck_assert_int_eq(said->verdict, FC_CHECKS_OUT);
    ck_assert_double_eq_tol(said->readings[0].expected / PSI, 67.797, 0.001);
    ck_assert_double_eq_tol(said->readings[1].expected / GPM, sqrt(30.508),
                            0.001);
    put_away();
}
END_TEST

/* A tank by the code's table alone passes anything within a factor of 3, so
 * that a strainer which takes what three times as much would is no fault: the
 * table has 1.6 gpm at 20 psi (IPC Table 604.3), 7.8125 psi/gpm2; of three
 * times that 0.86806: behind the strainer 80 / 1.26806 = 63.088 gpm2, and
 * 54.765 psi are left of 80; by the table 76.104. */
static void
tank_leaves(double psi)
{
    char text[1024];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[device strainer]\nfrom = main\nloss = 10 psi at 5 gpm\n"
             "[fixture tank]\non = strainer\n"
             "kind = water closet, flushometer tank\n"
             "[reading r1]\nat = strainer\npressure = %.3f psi\n"
             "within = 0.1 psi\nopen = tank\n"
             "[reading r2]\nat = strainer\npressure = 80 psi\n"
             "within = 0.1 psi\n",
             psi);
    ask(text);
}

START_TEST(takes_an_outlet_of_the_tables_for_what_it_may_be)
{
    tank_leaves(76.104);
    ck_assert_int_eq(said->verdict, FC_CHECKS_OUT);
    ck_assert_double_eq_tol(said->readings[0].expected / PSI, 76.104, 0.001);
    put_away();
    tank_leaves(60);
    ck_assert_int_eq(said->verdict, FC_CHECKS_OUT);
    put_away();
    tank_leaves(54);
    ck_assert(!said->as_described);
    put_away();
}
END_TEST

START_TEST(refuses_an_outlet_that_nobody_knows)
{
    static const char *const text =
        "[site]\ntitle = Invented\n"
        "[source main]\nkind = fixed\npressure = 80 psi\n"
        "[fixture tank]\non = main\nkind = urinal, flush tank\n"
        "[reading r]\nat = main\npressure = 80 psi\nopen = tank\n";
    fc_diagnostics *messages = fc_diagnostics_new();

    visited = site_of(text);
    said = NULL;
    ck_assert_int_eq(fc_diagnose(visited, NULL, &said, messages), FC_EINPUT);
    ck_assert_ptr_null(said);
    ck_assert_str_eq(all_messages(messages),
                     "test.ini:12: [reading r] open \"tank\" has no known "
                     "rate; a valve with a \"flow\", a fixture with a "
                     "\"rate\", or a flow read there is expected\n");
    fc_diagnostics_free(messages);
    put_away();
}
END_TEST

/* 2 gpm from an outlet of any kind at what 54 ft leave of 25 psi, 1.61: nobody
 * said what it passes, so that the bucket is all that is known of it. */
START_TEST(fills_a_bucket_at_little_pressure)
{
    ask("[site]\ntitle = Invented\n"
        "[source main]\nkind = fixed\npressure = 25 psi\n"
        "[pipe riser]\nfittings = none\nfrom = main\nc = 150\n"
        "inside diameter = 12 in\nlength = 60 ft\nrise = 54 ft\n"
        "[fixture tap]\non = riser\nkind = urinal, flush tank\n"
        "[reading r1]\nat = main\npressure = 25 psi\n"
        "[reading r2]\nat = riser\npressure = 1.6 psi\n"
        "[reading r3]\nat = tap\nfilled = 1 gal in 30 s\n");
    ck_assert_msg(said->verdict == FC_CHECKS_OUT, "%s", said->text);
    put_away();
}
END_TEST

/* Two gauges, each 2 psi off at the most, read 10 psi less than the file has:
 * that is where the supply lies in the middle. */
START_TEST(tells_the_middle)
{
    ask("[site]\ntitle = Invented\n[gauge a]\n[gauge b]\n"
        "[source main]\nkind = fixed\npressure = 80 psi\n"
        "[device strainer]\nfrom = main\nloss = 10 psi at 25 gpm\n"
        "[fixture wc]\non = strainer\n"
        "kind = water closet, flush valve\n"
        "[reading r1]\nat = main\npressure = 70 psi\ngauge = a\n"
        "[reading r2]\nat = strainer\npressure = 70 psi\ngauge = a\n"
        "[reading r3]\nat = main\npressure = 70 psi\ngauge = b\n"
        "[reading r4]\nat = strainer\npressure = 70 psi\ngauge = b\n");
    ck_assert_ptr_nonnull(single(FC_SUPPLY_PRESSURE, "main"));
    ck_assert_double_eq_tol(
        single(FC_SUPPLY_PRESSURE, "main")->faults[0].value / PSI, -10, 0.5);
    put_away();
}
END_TEST

/* ---- The gauge itself -------------------------------------------------- */

/* All 10 psi low, at rest and where nothing is lost. */
#define LOW                                                                   \
    "[site]\ntitle = Invented\n"                                              \
    "[gauge first]\nwithin = 0.1 psi\n[gauge second]\nwithin = 0.1 psi\n"     \
    "[source main]\nkind = fixed\npressure = 80 psi\n"                        \
    "[device strainer]\nfrom = main\nloss = 10 psi at 25 gpm\n"               \
    "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 25 psi\n"          \
    "[fixture wc]\non = strainer\nkind = water closet, flush valve\n"         \
    "existing = v\n"                                                          \
    "[reading r1]\nat = main\npressure = 70 psi\ngauge = first\n"             \
    "[reading r2]\nat = strainer\npressure = 70 psi\ngauge = first\n"         \
    "[reading r3]\nat = main\npressure = 70 psi\ngauge = first\n"             \
    "flushing = wc\n"

START_TEST(asks_for_another_gauge)
{
    ask(LOW);
    ck_assert_int_eq(said->verdict, FC_NARROWED_DOWN);
    ck_assert_ptr_nonnull(single(FC_SUPPLY_PRESSURE, "main"));
    ck_assert_ptr_nonnull(single(FC_GAUGE_OFF, NULL));
    ck_assert(single(FC_SUPPLY_PRESSURE, "main")->explains);
    ck_assert(single(FC_GAUGE_OFF, NULL)->explains);
    ck_assert_msg(said->next.other_gauge
                      && said->next.kind == FC_TASK_PRESSURE,
                  "%s", next_words());
    put_away();
}
END_TEST

/* Each gauge may be a tenth of a psi off, and a reading of it once more. */
START_TEST(believes_the_other_gauge)
{
    ask(LOW "[reading r4]\nat = main\npressure = 80 psi\n"
            "gauge = second\n");
    ck_assert_double_eq_tol(found(FC_GAUGE_OFF, NULL)->value / PSI, -10, 0.2);
    put_away();
    ask(LOW "[reading r4]\nat = main\npressure = 70 psi\n"
            "gauge = second\n");
    ck_assert_double_eq_tol(found(FC_SUPPLY_PRESSURE, "main")->value / PSI,
                            -10, 0.2);
    put_away();
}
END_TEST

/* ---- The rowhouse ------------------------------------------------------ */

/* 55 ft of water are 23.8 psi: 24 psi on top want 47.8 in the cellar, where
 * 40 were read, and 30 at the foot of the riser; the street has 45, which a
 * gauge each 2 psi off may show.  59 oz are 59 / 128 gal: in 5 s
 * 5.531 gpm, in 60 s 0.461. */
#define ROWHOUSE                                                              \
    "[site]\ntitle = Invented rowhouse\nmaterial = copper L\n"                \
    "[source street]\nkind = street main\nstatic = 45 psi\n"                  \
    "[pipe service]\nfittings = none\nfrom = street\nsize = 1 in\n"           \
    "length = 30 ft\n"                                                        \
    "[pipe riser-foot]\nfittings = none\nfrom = service\nsize = 1 in\n"       \
    "length = 10 ft\n"                                                        \
    "[pipe fire-cellar]\nfittings = none\nfrom = service\nsize = 2 in\n"      \
    "length = 10 ft\n"                                                        \
    "[pipe fire-top]\nfittings = none\nfrom = fire-cellar\nsize = 2 in\n"     \
    "length = 55 ft\nrise = 55 ft\n"                                          \
    "[pipe riser]\nfittings = none\nfrom = riser-foot\nsize = 3/4 in\n"       \
    "length = 45 ft\nrise = 45 ft\n"                                          \
    "[fixture low]\non = riser-foot\nkind = hose bibb\n"                      \
    "fixture units = 3\n"                                                     \
    "[fixture top]\non = riser\nkind = lavatory\n"                            \
    "[reading r1]\nat = street\npressure = 45 psi\n"                          \
    "[reading r2]\nat = riser-foot\npressure = 30 psi\n"                      \
    "[reading r3]\nat = fire-cellar\npressure = 40 psi\n"                     \
    "[reading r4]\nat = fire-top\npressure = 24 psi\n"                        \
    "[reading low-bottle]\nat = low\nfilled = 59 oz in 5 s\n"                 \
    "[reading top-bottle]\nat = top\nfilled = 59 oz in 60 s\n"

static const fc_explained_reading *
reading_of(const char *name)
{
    size_t i;

    for (i = 0; i < said->n_readings; i++)
        if (strcmp(said->readings[i].name, name) == 0)
            return &said->readings[i];
    ck_abort_msg("no reading %s", name);
    return NULL;
}

static bool
finding_names(const char *a, const char *b)
{
    size_t i;

    for (i = 0; i < said->n_findings; i++)
        if (strstr(said->findings[i].text, a)
            && strstr(said->findings[i].text, b))
            return true;
    return false;
}

START_TEST(does_not_believe_the_rowhouse)
{
    size_t i;

    ask(ROWHOUSE);
    ck_assert_double_eq_tol(reading_of("low-bottle")->read / GPM, 5.53125,
                            1e-4);
    ck_assert_double_eq_tol(reading_of("top-bottle")->read / GPM, 0.46094,
                            1e-4);
    ck_assert_int_eq(reading_of("low-bottle")->dimension, FC_FLOW);
    ck_assert(said->contradictory);
    ck_assert(finding_names("r4", "r3"));
    ck_assert(finding_names("r4", "r2"));
    ck_assert_msg(said->verdict == FC_READINGS_DISAGREE
                      || said->verdict == FC_NARROWED_DOWN,
                  "%s", said->text);
    ck_assert(!said->decided);
    for (i = 0; i < said->n_causes; i++)
        ck_assert(!said->causes[i].found);
    ck_assert_msg(said->next.again || said->next.kind >= FC_TASK_STOP, "%s",
                  next_words());
    put_away();
}
END_TEST

/* ---- Flushes against the clock ----------------------------------------- */

/* A kit of 3.5 gal in a valve that passes 25 gpm at 35 psi.  At 52 psi that is
 * 25 sqrt(52 / 35) = 30.472 gpm: in 15 s 7.618 gal, more than twice the kit's,
 * and in 4 s 2.031.  The pipe takes nothing, so that 52 psi are there. */
#define CLOSETS                                                               \
    "[site]\ntitle = Invented\n"                                              \
    "[source main]\nkind = fixed\npressure = 52 psi\n"                        \
    "[pipe riser]\nfittings = none\nfrom = main\nc = 150\n"                   \
    "inside diameter = 12 in\nlength = 1 ft\n"                                \
    "[valve kit]\nminimum flowing = 35 psi\nflow = 25 gpm at 35 psi\n"        \
    "full flush = 3.5 gal\n"                                                  \
    "[fixture wc]\non = riser\nkind = water closet, flush valve\n"            \
    "existing = kit\n"                                                        \
    "[fixture wc-2]\non = riser\nkind = water closet, flush valve\n"          \
    "existing = kit\n"

static const struct {
    const char *seconds;
    double gallons;
} flushes[] = { { "15 s", 7.618 }, { "4 s", 2.031 } };

START_TEST(times_another_volume)
{
    char text[2048];
    const fc_fault *fault;

    snprintf(text, sizeof text,
             CLOSETS "[reading r1]\nat = wc\npressure = 52 psi\n"
                     "flushing = wc\nflush time = %s\n",
             flushes[_i].seconds);
    ask(text);
    ck_assert_uint_gt(said->n_causes, 0);
    fault = &said->causes[0].faults[0];
    ck_assert_uint_eq(said->causes[0].n_faults, 1);
    ck_assert_msg(fault->kind == FC_VALVE_VOLUME, "%s", said->text);
    ck_assert_str_eq(fault->element, "wc");
    ck_assert_int_eq(fault->dimension, FC_VOLUME);
    ck_assert_double_eq_tol(fault->value / GALLON, flushes[_i].gallons,
                            0.05 * flushes[_i].gallons);
    ck_assert_msg(said->verdict == FC_NARROWED_DOWN
                      || said->verdict == FC_ONE_FAULT,
                  "%s", said->text);
    put_away();
}
END_TEST

START_TEST(times_two_of_a_kind)
{
    const fc_fault *fault;

    ask(CLOSETS "[reading r1]\nat = wc\npressure = 52 psi\nflushing = wc\n"
                "flush time = 15 s\n"
                "[reading r2]\nat = wc-2\npressure = 52 psi\n"
                "flushing = wc-2\nflush time = 15 s\n");
    ck_assert_uint_gt(said->n_causes, 0);
    fault = &said->causes[0].faults[0];
    ck_assert_uint_eq(said->causes[0].n_faults, 1);
    ck_assert_msg(fault->kind == FC_VALVE_VOLUME, "%s", said->text);
    ck_assert_str_eq(fault->element, "kit");
    ck_assert_double_eq_tol(fault->value / GALLON, 7.618, 0.05 * 7.618);
    put_away();
}
END_TEST

/* 3.5 gal at 30.472 gpm take 6.891 s. */
START_TEST(times_what_the_kit_passes)
{
    ask(CLOSETS "[reading r1]\nat = wc\npressure = 52 psi\nflushing = wc\n"
                "flush time = 6.9 s\n");
    ck_assert_int_eq(said->verdict, FC_CHECKS_OUT);
    ck_assert_double_eq_tol(said->readings[1].expected / GPM, 30.472, 0.002);
    put_away();
}
END_TEST

/* ---- What the file does not have --------------------------------------- */

/* 80 psi ahead of the meter and 50 behind it, at rest and while the closet
 * takes 25 gpm by its regulated valve, 10 psi of which the meter would take.
 */
START_TEST(finds_a_reducer_that_is_not_in_the_file)
{
    ask("[site]\ntitle = Invented\n"
        "[source main]\nkind = fixed\npressure = 80 psi\n"
        "[meter m]\nfrom = main\nloss = 10 psi at 25 gpm\n"
        "[pipe riser]\nfittings = none\nfrom = m\nc = 150\n"
        "inside diameter = 12 in\nlength = 20 ft\nrise = 10 ft\n"
        "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 10 psi\n"
        "regulated = yes\n"
        "[fixture wc]\non = riser\nkind = water closet, flush valve\n"
        "existing = v\n"
        "[reading r1]\nat = main\npressure = 80 psi\nwithin = 0.1 psi\n"
        "[reading r2]\nat = m\npressure = 50 psi\nwithin = 0.1 psi\n"
        "[reading r3]\nat = m\npressure = 50 psi\nwithin = 0.1 psi\n"
        "flushing = wc\n"
        "[reading r4]\nat = main\npressure = 80 psi\nwithin = 0.1 psi\n"
        "flushing = wc\n"
        "[reading d]\nat = m\ndial = still\n");
    ck_assert_double_eq_tol(found(FC_PRV_NOT_LISTED, "m")->value / PSI, 50,
                            0.3);
    put_away();
}
END_TEST

/* A riser of 30 ft where the file has 20, read at rest and while 25 gpm flow,
 * which take nothing in so wide a pipe. */
START_TEST(takes_no_height_for_a_check_valve)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[backflow b]\nfrom = main\n"
             "loss = 0 gpm 0 psi, 25 gpm 1 psi, 50 gpm 4 psi\n"
             "[pipe riser]\nfittings = none\nfrom = b\nc = 150\n"
             "inside diameter = 12 in\nlength = 60 ft\nrise = 20 ft\n"
             "[valve v]\nminimum flowing = 10 psi\nflow = 25 gpm at 10 psi\n"
             "regulated = yes\n"
             "[fixture wc]\non = riser\nkind = water closet, flush valve\n"
             "existing = v\n"
             "[reading r1]\nat = main\npressure = 80 psi\n"
             "within = 0.1 psi\n"
             "[reading r2]\nat = b\npressure = 80 psi\nwithin = 0.1 psi\n"
             "[reading r3]\nat = riser\npressure = %.3f psi\n"
             "within = 0.1 psi\n"
             "[reading r4]\nat = riser\npressure = %.3f psi\n"
             "within = 0.1 psi\nflushing = wc\n",
             ON_TOP(30), ON_TOP(30) - 1);
    ask(text);
    ck_assert_uint_gt(said->n_causes, 0);
    ck_assert_msg(said->causes[0].faults[0].kind == FC_HEIGHT, "%s",
                  said->text);
    ck_assert_double_eq_tol(said->causes[0].faults[0].value / FOOT, 10, 0.2);
    ck_assert_msg(weight_of(FC_HOLDS_BACK, NULL)
                      < weight_of(FC_HEIGHT, "riser") / 10,
                  "%s", said->text);
    put_away();
}
END_TEST

/* ---- Ranges ------------------------------------------------------------ */

/* 25 gpm through 100 ft of 1 in bore whose C is 80 to 120. */
static void
lose(double psi)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 95 psi\n"
             "[pipe run]\nfittings = none\nfrom = main\nc = 80..120\n"
             "inside diameter = 1 in\nlength = 100 ft\n"
             "[valve v]\nminimum flowing = 5 psi\nflow = 25 gpm at 5 psi\n"
             "regulated = yes\n"
             "[fixture wc]\non = run\nkind = water closet, flush valve\n"
             "existing = v\n"
             "[reading r1]\nat = main\npressure = 95 psi\nflushing = wc\n"
             "within = 0.1 psi\n"
             "[reading r2]\nat = run\npressure = %.4f psi\nflushing = wc\n"
             "within = 0.1 psi\n",
             95 - psi);
    ask(text);
}

START_TEST(takes_a_range_for_what_it_is)
{
    double c;

    for (c = 80; c <= 120; c += 10) {
        lose(friction(25, 100, 1, c));
        ck_assert_msg(said->verdict == FC_CHECKS_OUT, "%g: %s", c, said->text);
        put_away();
    }
    /* the gauge is a tenth of a psi off at the most, each way */
    lose(friction(25, 100, 1, 80) + 1);
    ck_assert_msg(!said->as_described && said->verdict != FC_CHECKS_OUT, "%s",
                  said->text);
    put_away();
    lose(friction(25, 100, 1, 120) - 1);
    ck_assert_msg(!said->as_described && said->verdict != FC_CHECKS_OUT, "%s",
                  said->text);
    put_away();
}
END_TEST

/* What is usual where the file is silent is a range too ("flushcalc tables
 * usual"): a reducer falls off by 0 to 20 psi, an untested main drops by up to
 * 10, fittings make a pipe 20 to 75 % longer; and a preventer given by 5 psi
 * at 60 gpm takes at 25 gpm from 5 (25 / 60)^2 = 0.868 psi, with nothing held
 * back at rest, to 5 psi at any flow and at rest. */
#define SILENT(source, element)                                               \
    "[site]\ntitle = Invented\nmaterial = copper L\n" source element          \
    "[valve v]\nminimum flowing = 5 psi\nflow = 25 gpm at 5 psi\n"            \
    "regulated = yes\n"                                                       \
    "[fixture wc]\non = at\nkind = water closet, flush valve\n"               \
    "existing = v\n"
#define FIXED "[source main]\nkind = fixed\npressure = 80 psi\n"
#define REDUCER SILENT(FIXED, "[reducer at]\nfrom = main\nset = 50 psi\n")
#define PREVENTER                                                             \
    SILENT(FIXED, "[backflow at]\nfrom = main\nloss = 5 psi at 60 gpm\n")
#define MAIN                                                                  \
    SILENT("[source main]\nkind = street main\nstatic = 80 psi\n",            \
           "[pipe at]\nfrom = main\nfittings = none\nc = 150\n"               \
           "inside diameter = 12 in\nlength = 1 ft\n")
/* 60 ft of 1 in, a bore of 1.025 in, take 15.5 psi at 25 gpm and C = 110. */
#define RUN                                                                   \
    SILENT(FIXED, "[pipe at]\nfrom = main\nsize = 1 in\nlength = 60 ft\n"     \
                  "c = 110\n")

static const struct {
    const char *text;
    double still, flowing; /* psi behind it; flowing < 0: times the friction
                              that the length alone takes */
    bool as_described;
} silent[] = {
    { REDUCER, 50, 50, true },    { REDUCER, 50, 40, true },
    { REDUCER, 50, 31, true },    { REDUCER, 50, 28, false },
    { REDUCER, 55, 45, false },   { PREVENTER, 80, 79.1, true },
    { PREVENTER, 75, 75, true },  { PREVENTER, 73, 73, false },
    { PREVENTER, 80, 73, false }, { MAIN, 80, 80, true },
    { MAIN, 80, 75, true },       { MAIN, 80, 70.1, true },
    { MAIN, 80, 68, false },      { MAIN, 78, 70, false },
    { RUN, 80, -1.21, true },     { RUN, 80, -1.5, true },
    { RUN, 80, -1.74, true },     { RUN, 80, -1.1, false },
    { RUN, 80, -1.85, false },
};

START_TEST(takes_what_is_usual_for_a_range)
{
    const double flowing = silent[_i].flowing;
    char text[2048];

    snprintf(text, sizeof text,
             "%s[reading r1]\nat = main\npressure = 80 psi\n"
             "within = 0.1 psi\n"
             "[reading r2]\nat = at\npressure = %.3f psi\n"
             "within = 0.1 psi\n"
             "[reading r3]\nat = at\npressure = %.3f psi\nflushing = wc\n"
             "within = 0.1 psi\n",
             silent[_i].text, silent[_i].still,
             flowing > 0 ? flowing
                         : 80 + flowing * friction(25, 60, 1.025, 110));
    ask(text);
    ck_assert_msg(said->as_described == silent[_i].as_described, "%s",
                  said->text);
    ck_assert_msg((said->verdict == FC_CHECKS_OUT) == silent[_i].as_described,
                  "%s", said->text);
    put_away();
}
END_TEST

static TCase *
by_hand(void)
{
    TCase *tcase = tcase_create("by hand");

    tcase_add_test(tcase, asks_which_is_in_the_way);
    tcase_add_test(tcase, sees_a_stop_shut);
    tcase_add_test(tcase, sees_a_stop_open);
    tcase_add_test(tcase, sees_a_strainer_clogged);
    tcase_add_test(tcase, sees_a_strainer_clean);
    tcase_add_test(tcase, sees_all_in_order);
    tcase_add_test(tcase, sees_a_curb_stop);
    tcase_add_loop_test(tcase, watches_a_dial, 0, COUNT(dials));
    tcase_add_test(tcase, watches_a_dial_of_two_ways);
    tcase_add_test(tcase, looks_at_a_pump);
    tcase_add_loop_test(tcase, tapes_another_rise, 0, COUNT(lengths));
    tcase_add_test(tcase, tells_the_rise_by_the_tape);
    tcase_add_test(tcase, tapes_the_rise_of_the_file);
    tcase_add_test(tcase, tapes_a_rise_of_its_range);
    tcase_add_test(tcase, measures_a_size);
    tcase_add_test(tcase, measures_a_length);
    tcase_add_test(tcase, expects_by_a_measured_length);
    tcase_add_test(tcase, explains_with_a_measured_length);
    tcase_add_test(tcase, does_not_pass_over_what_was_measured);
    tcase_add_test(tcase, measures_a_size_of_its_range);
    tcase_add_test(tcase, fills_a_bucket_at_little_pressure);
    tcase_add_test(tcase, tells_the_middle);
    tcase_add_test(tcase, puts_a_gauge_where_it_fits);
    tcase_add_test(tcase, puts_no_gauge_at_a_meter_without_a_tapping);
    tcase_add_test(tcase, puts_no_gauge_at_a_fixture_without_room);
    tcase_add_test(tcase, opens_a_bibb);
    tcase_add_test(tcase, fills_a_bucket);
    tcase_add_test(tcase, fills_a_flushometer_tank);
    tcase_add_test(tcase, takes_an_outlet_of_the_tables_for_what_it_may_be);
    tcase_add_test(tcase, refuses_an_outlet_that_nobody_knows);
    tcase_add_test(tcase, asks_for_another_gauge);
    tcase_add_test(tcase, believes_the_other_gauge);
    tcase_add_test(tcase, does_not_believe_the_rowhouse);
    tcase_add_loop_test(tcase, times_another_volume, 0, COUNT(flushes));
    tcase_add_test(tcase, times_two_of_a_kind);
    tcase_add_test(tcase, times_what_the_kit_passes);
    tcase_add_test(tcase, finds_a_reducer_that_is_not_in_the_file);
    tcase_add_test(tcase, takes_no_height_for_a_check_valve);
    tcase_add_test(tcase, takes_a_range_for_what_it_is);
    tcase_add_loop_test(tcase, takes_what_is_usual_for_a_range, 0,
                        COUNT(silent));
    return tcase;
}

int
main(void)
{
    Suite *suite = suite_create("diagnose visit");

    suite_add_tcase(suite, by_hand());
    suite_add_tcase(suite, visit_of_buildings());
    return run_suite(suite);
}
