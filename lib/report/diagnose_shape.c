/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_shape.c -- what `diagnose` tells programs.
 *
 * Figures of faults, of answers and of what was learned are of any dimension:
 * each row says its own, and its unit.
 */
#include "report/diagnose_shape.h"
#include "report/report.h"
#include "report/shapes.h"

static const char *const verdict_list[] = {
    [FC_NOTHING_READ] = "nothing read",
    [FC_CHECKS_OUT] = "checks out",
    [FC_CHECKS_OUT_SHORT] = "checks out, falls short",
    [FC_STATIC_ONLY] = "not tried flowing",
    [FC_ONE_FAULT] = "found",
    [FC_TWO_FAULTS] = "two faults",
    [FC_NARROWED_DOWN] = "narrowed down",
    [FC_NOT_EXPLAINED] = "cannot tell",
    [FC_READINGS_DISAGREE] = "readings disagree",
};
static const char *const task_list[] = {
    [FC_TASK_NONE] = NULL,
    [FC_TASK_PRESSURE] = "pressure",
    [FC_TASK_FLUSH_TIME] = "flush time",
    [FC_TASK_STOP] = "stop",
    [FC_TASK_STRAINER] = "strainer",
    [FC_TASK_DIAL] = "dial",
    [FC_TASK_PUMP] = "pump",
    [FC_TASK_TAPE] = "tape",
};
static const char *const sight_list[] = {
    [FC_SEEN_NOTHING] = NULL,      [FC_SEEN_OPEN] = "open",
    [FC_SEEN_SHUT] = "shut",       [FC_SEEN_CLEAN] = "clean",
    [FC_SEEN_CLOGGED] = "clogged", [FC_SEEN_TURNING] = "turns",
    [FC_SEEN_STILL] = "still",
};
static const char *const dimension_list[] = {
    [FC_NUMBER] = NULL,
    [FC_PRESSURE] = "pressure",
    [FC_FLOW] = "flow",
    [FC_LENGTH] = "length",
    [FC_SIZE] = "size",
    [FC_VELOCITY] = "velocity",
    [FC_VOLUME] = "volume",
    [FC_TIME] = "time",
    [FC_TEMPERATURE] = "temperature",
    [FC_WATER] = "water",
};
static FCI_WORDS(verdict_words, verdict_list);
static FCI_WORDS(task_words, task_list);
static FCI_WORDS(dimension_words, dimension_list);
FCI_WORDS(fci_shows_words, sight_list);

static const fc_diagnosis *
diagnosis_of(struct fci_at at)
{
    return ((const struct fci_diagnosis_view *)at.root)->d;
}

static const void *
told_number(struct fci_at at, union fci_value *room, fc_dimension dimension,
            double si)
{
    room->number = fc_from_si(diagnosis_of(at)->units, dimension, si);
    return &room->number;
}

static const void *
told_unit(struct fci_at at, union fci_value *room, fc_dimension dimension)
{
    room->text = fc_unit_name(diagnosis_of(at)->units, dimension);
    return *room->text ? &room->text : NULL;
}

/* A getter of a figure of an object; `of` is its struct, `dim` its
 * dimension. */
#define NUMBER(name, of, dim, member)                                         \
    static const void *name(struct fci_at at, union fci_value *room)          \
    {                                                                         \
        const of *o = at.object;                                              \
                                                                              \
        return told_number(at, room, dim, o->member);                         \
    }
#define UNIT(name, of, dim)                                                   \
    static const void *name(struct fci_at at, union fci_value *room)          \
    {                                                                         \
        const of *o = at.object;                                              \
                                                                              \
        (void)o;                                                              \
        return told_unit(at, room, dim);                                      \
    }
#define NUMBER_ROW(key, getter, about)                                        \
    FCI_GET(key, FCI_M_NUMBER, FC_NUMBER, getter, about)
#define UNIT_ROW(getter)                                                      \
    FCI_GET("unit", FCI_M_TEXT, FC_NUMBER, getter,                            \
            "The unit of the figures here; null: none")

/* ---- Readings and looks ------------------------------------------------ */

static const struct fci_member reading_rows[] = {
    FCI_TEXT(fc_explained_reading, name, "name", "Its name"),
    FCI_TEXT(fc_explained_reading, at, "at", "Where it was taken"),
    FCI_TEXT(fc_explained_reading, flushing, "open", "What was open"),
    FCI_FLAG(fc_explained_reading, is_static, "static", "Nothing was open"),
    FCI_FIGURE_OF(fc_explained_reading, read, "pressure", FC_PRESSURE,
                  "The pressure read; null: a flow was"),
    FCI_FIGURE_OF(fc_explained_reading, within, "within", FC_PRESSURE,
                  "What its gauge may be off by"),
    FCI_FIGURE_OF(fc_explained_reading, expected, "expected", FC_PRESSURE,
                  "The pressure by the file, at midpoint values"),
    FCI_FIGURE_OF(fc_explained_reading, difference, "difference", FC_PRESSURE,
                  "Read less expected"),
    FCI_FIGURE_OF(fc_explained_reading, read, "flow", FC_FLOW,
                  "The flow read; null: a pressure was"),
    FCI_FIGURE_OF(fc_explained_reading, within, "flow_within", FC_FLOW,
                  "What it may be off by"),
    FCI_FIGURE_OF(fc_explained_reading, expected, "flow_expected", FC_FLOW,
                  "The flow by the file, at midpoint values"),
    FCI_FIGURE_OF(fc_explained_reading, difference, "flow_difference", FC_FLOW,
                  "Read less expected"),
    FCI_FLAG(fc_explained_reading, as_described, "as_described",
             "The difference is no more than it may be off by"),
};
static FCI_SHAPE(reading_shape, "explained_reading", fc_explained_reading,
                 reading_rows,
                 "A reading against the file; one of a pressure and a flow "
                 "stands twice");

static const struct fci_member look_rows[] = {
    FCI_TEXT(fc_look, name, "name", "Its name"),
    FCI_TEXT(fc_look, at, "at", "What was looked at"),
    FCI_WORD(fc_look, shows, "shows", &fci_shows_words, "What was seen"),
    FCI_RANGE(fc_look, rise, "rise", FC_LENGTH, "The rise by tape"),
    FCI_RANGE(fc_look, length, "length", FC_LENGTH, "The length by tape"),
    FCI_RANGE(fc_look, size, "size", FC_SIZE, "The nominal size measured"),
};
static FCI_SHAPE(look_shape, "look", fc_look, look_rows,
                 "What was seen or measured without a gauge");

/* ---- Causes ------------------------------------------------------------ */

static const void *
fault_kind(struct fci_at at, union fci_value *room)
{
    room->text = fc_fault_word(((const fc_fault *)at.object)->kind);
    return &room->text;
}

NUMBER(fault_value, fc_fault, o->dimension, value)
NUMBER(fault_low, fc_fault, o->dimension, low)
NUMBER(fault_high, fc_fault, o->dimension, high)
UNIT(fault_unit, fc_fault, o->dimension)

static const struct fci_member fault_rows[] = {
    FCI_GET("kind", FCI_M_TEXT, FC_NUMBER, fault_kind,
            "The kind of fault: see the tables"),
    FCI_TEXT(fc_fault, element, "element",
             "The element, fixture, material or reading"),
    FCI_TEXT(fc_fault, last, "last",
             "The lower end of a run of pipes; null: no run"),
    FCI_WORD(fc_fault, dimension, "dimension", &dimension_words,
             "The dimension of its figures; null: none"),
    UNIT_ROW(fault_unit),
    NUMBER_ROW("value", fault_value, "How much it is"),
    NUMBER_ROW("low", fault_low, "Least of its 95% interval"),
    NUMBER_ROW("high", fault_high, "Most of its 95% interval"),
    FCI_FLAG(fc_fault, at_limit, "nearly_closed",
             "A loss as large as is tried: nearly closed"),
    FCI_FIGURE(fc_fault, flow, "flow", FC_FLOW, "The flow a loss is told at"),
};
static FCI_SHAPE(fault_shape, "fault", fc_fault, fault_rows,
                 "One thing that is not as entered");

static const void *
nth_fault(struct fci_at at, size_t n)
{
    const fc_cause *cause = at.object;

    return n < cause->n_faults ? &cause->faults[n] : NULL;
}

static const void *
first_fault(struct fci_at at, union fci_value *room)
{
    (void)room;
    return nth_fault(at, 0);
}

static const void *
second_fault(struct fci_at at, union fci_value *room)
{
    (void)room;
    return nth_fault(at, 1);
}

static const void *
group_of(struct fci_at at, union fci_value *room)
{
    const fc_cause *cause = at.object;

    room->text = diagnosis_of(at)->groups[cause->group].text;
    return &room->text;
}

static const struct fci_member cause_rows[] = {
    FCI_TEXT(fc_cause, text, "text", "The cause, in words"),
    FCI_NUMBER(fc_cause, weight, "weight",
               "Its chance among the causes tried, 0 to 1"),
    FCI_NUMBER(fc_cause, misfit, "misfit",
               "Sum of the squares of what the readings are off by beside it, "
               "in deviations of the gauge"),
    FCI_FLAG(fc_cause, explains, "explains",
             "Beside it no reading is off by more than it may be"),
    FCI_FLAG(fc_cause, found, "found", "The readings decide for it"),
    FCI_GET("group", FCI_M_TEXT, FC_NUMBER, group_of,
            "The group of causes that the readings do not tell from it"),
    FCI_GET_OBJECT("fault", &fault_shape, first_fault,
                   "Its fault; null: nothing is wrong"),
    FCI_GET_OBJECT("second_fault", &fault_shape, second_fault,
                   "Its second fault; null: it is one alone"),
};
static FCI_SHAPE(cause_shape, "cause", fc_cause, cause_rows,
                 "What may explain the readings: nothing wrong, one fault or "
                 "two");

static const struct fci_member group_rows[] = {
    FCI_TEXT(fc_cause_group, text, "group", "The causes, in words"),
    FCI_NUMBER(fc_cause_group, weight, "weight",
               "Their chance among the causes tried, 0 to 1"),
    FCI_FLAG(fc_cause_group, single, "single",
             "It is one cause, or blockages of one stretch alone"),
};
static FCI_SHAPE(group_shape, "cause_group", fc_cause_group, group_rows,
                 "Causes that the readings cannot tell apart");

/* ---- What to do next --------------------------------------------------- */

#define NEXT diagnosis_of(at)->next.dimension
NUMBER(answer_value, fc_answer_meant, NEXT, value)
NUMBER(answer_low, fc_answer_meant, NEXT, low)
NUMBER(answer_high, fc_answer_meant, NEXT, high)
UNIT(answer_unit, fc_answer_meant, NEXT)

static const struct fci_member answer_rows[] = {
    FCI_TEXT(fc_answer_meant, text, "group", "What it means: the causes left"),
    FCI_NUMBER(fc_answer_meant, weight, "weight",
               "Its chance among the causes tried, 0 to 1"),
    FCI_WORD(fc_answer_meant, shows, "shows", &fci_shows_words,
             "What a look shows; null: a figure is read"),
    UNIT_ROW(answer_unit),
    NUMBER_ROW("value", answer_value, "Mean of what is read then"),
    NUMBER_ROW("low", answer_low, "The least of it"),
    NUMBER_ROW("high", answer_high, "The most of it"),
};
static FCI_SHAPE(answer_shape, "answer", fc_answer_meant, answer_rows,
                 "What the next reading or look may show");

static const struct fci_member open_rows[] = {
    FCI_TEXT(fc_flushing, fixture, "fixture", "The fixture"),
    FCI_INTEGER(fc_flushing, count, "count", "So many of its outlets"),
};
static FCI_SHAPE(open_shape, "open_outlets", fc_flushing, open_rows,
                 "Outlets to be open");

static const struct fci_member next_rows[] = {
    FCI_WORD(fc_next_reading, kind, "kind", &task_words, "What it is"),
    FCI_TEXT(fc_next_reading, at, "at", "The element or fixture"),
    FCI_LIST(fc_next_reading, flush, n_flush, "open", &open_shape,
             "What is to be open; empty: nothing"),
    FCI_WORD(fc_next_reading, dimension, "dimension", &dimension_words,
             "The dimension of what is read"),
    FCI_FIGURE(fc_next_reading, volume, "volume", FC_VOLUME,
               "Of a flush that is timed: its volume"),
    FCI_FLAG(fc_next_reading, other_gauge, "other_gauge",
             "With another gauge than the one that read so far"),
    FCI_TEXT(fc_next_reading, again, "again",
             "The reading that it repeats; null: a new one"),
    FCI_TEXT(fc_next_reading, task, "task", "What to do, a sentence"),
    FCI_TEXT(fc_next_reading, text, "text",
             "The same with what each answer means"),
    FCI_PLAIN_IF("apart", FCI_M_NUMBER, FC_NUMBER, fc_next_reading, apart,
                 n_answers,
                 "The chance that it tells two causes apart, 0 to 1"),
    FCI_LIST(fc_next_reading, answers, n_answers, "answers", &answer_shape,
             "What it may show, the highest first"),
};
static FCI_SHAPE(next_shape, "next_reading", fc_next_reading, next_rows,
                 "The next reading or look");

static const void *
next_of(struct fci_at at, union fci_value *room)
{
    const fc_next_reading *next = &diagnosis_of(at)->next;

    (void)room;
    return next->at ? next : NULL;
}

/* ---- Learned, and to be done ------------------------------------------- */

NUMBER(learned_value, fc_learned, o->dimension, value)
NUMBER(learned_low, fc_learned, o->dimension, low)
NUMBER(learned_high, fc_learned, o->dimension, high)
NUMBER(learned_from, fc_learned, o->dimension, given.low)
NUMBER(learned_to, fc_learned, o->dimension, given.high)
UNIT(learned_unit, fc_learned, o->dimension)

static const struct fci_member learned_rows[] = {
    FCI_TEXT(fc_learned, name, "name", "Whose input it is"),
    FCI_TEXT(fc_learned, what, "what", "Which input"),
    FCI_WORD(fc_learned, dimension, "dimension", &dimension_words,
             "Its dimension; null: none"),
    UNIT_ROW(learned_unit),
    NUMBER_ROW("value", learned_value, "Mean of what the readings leave"),
    NUMBER_ROW("low", learned_low, "The least of 95% of that"),
    NUMBER_ROW("high", learned_high, "The most of 95% of that"),
    NUMBER_ROW("entered_low", learned_from, "The least entered or usual"),
    NUMBER_ROW("entered_high", learned_to, "The most entered or usual"),
};
static FCI_SHAPE(learned_shape, "learned", fc_learned, learned_rows,
                 "What the readings say of an input that is a range");

static const struct fci_member work_rows[] = {
    FCI_TEXT(fc_work, where, "where", "Where"),
    FCI_TEXT(fc_work, from, "from", "From this place; null: at one place"),
    FCI_TEXT(fc_work, to, "to", "To this place"),
    FCI_TEXTS(fc_work, steps, n_steps, "steps", "What to do, in this order"),
    FCI_ANY_TEXT(fc_work, isolate, "isolate",
                 "What shuts it off; null: nothing is opened"),
    FCI_ANY_TEXT(fc_work, after, "after",
                 "What a reading afterwards must show"),
    FCI_ANY_TEXT(fc_work, loss, "loss", "What is lost there"),
};
static FCI_SHAPE(work_shape, "work", fc_work, work_rows,
                 "A fault as work to be done");

/* ---- The whole --------------------------------------------------------- */

static const struct fci_member told_rows[] = {
    FCI_TEXT(fc_diagnosis, title, "title", "Title of the site"),
    FCI_WORD(fc_diagnosis, state, "state", &fci_state_words,
             "With the valves of which state"),
    FCI_WORD(fc_diagnosis, verdict, "verdict", &verdict_words,
             "What the readings say"),
    FCI_FLAG(fc_diagnosis, contradictory, "contradictory",
             "Readings contradict each other or physics"),
    FCI_FLAG(fc_diagnosis, too_little, "too_little",
             "As entered, a valve that was open is below its minimum"),
    FCI_TEXT(fc_diagnosis, found, "found",
             "What explains the readings; null: not decided"),
    FCI_TEXT(fc_diagnosis, text, "text", "The answer, a sentence or two"),
    FCI_LIST(fc_diagnosis, readings, n_readings, "readings", &reading_shape,
             "The readings, in the order of the site"),
    FCI_LIST(fc_diagnosis, looks, n_looks, "looks", &look_shape,
             "The looks, in the order of the site"),
    FCI_LIST(fc_diagnosis, groups, n_groups, "groups", &group_shape,
             "Causes that no reading tells apart yet, the likeliest first"),
    FCI_LIST(fc_diagnosis, causes, n_causes, "causes", &cause_shape,
             "Causes one by one, the likeliest first"),
    FCI_LIST(fc_diagnosis, learned, n_learned, "learned", &learned_shape,
             "What the readings say of what is known as a range"),
    FCI_TEXT(fc_diagnosis, likeliest, "likeliest",
             "Narrowed down: the likeliest place"),
    FCI_TEXTS(fc_diagnosis, others, n_others, "others",
              "Where else it may be"),
    FCI_COUNT(fc_diagnosis, less_likely, "less_likely",
              "So many more places that are less likely"),
    FCI_LIST(fc_diagnosis, work, n_work, "work", &work_shape,
             "The work order; where nothing is found yet, where to look"),
    FCI_TEXTS(fc_diagnosis, looks_first, n_looks_first, "looks_first",
              "Looks before the next reading is taken"),
    FCI_GET_OBJECT("next", &next_shape, next_of,
                   "The next reading or look; null: none"),
    FCI_TEXTS(fc_diagnosis, first_visit, n_first_visit, "first_visit",
              "What to look at and read before any reading is there"),
    FCI_TEXTS(fc_diagnosis, by_hand, n_by_hand, "by_hand",
              "Causes of a symptom that no pressure shows"),
    FCI_TEXTS(fc_diagnosis, assumptions, n_assumptions, "assumptions",
              "What is assumed, not given"),
    FCI_LIST(fc_diagnosis, findings, n_findings, "findings",
             &fci_finding_shape, "Contradictions first, then notes"),
    FCI_LIST(fc_diagnosis, overrides, n_overrides, "overrides",
             &fci_override_shape,
             "What the file sets otherwise than the code"),
    FCI_CAUTIONS_ROW,
};
static FCI_SHAPE(told_shape, "diagnosed", fc_diagnosis, told_rows,
                 "A diagnosis");

static const struct fci_member view_rows[] = {
    FCI_SPREAD(struct fci_diagnosis_view, d, &told_shape),
};
FCI_SHAPE(fci_diagnosis_shape, "diagnose", struct fci_diagnosis_view,
          view_rows, "What explains the gauge readings of a site");
