/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/field_spells.c -- the key that lists for how long a building stands
 * idle, and how often: "50 of 2 d, 1 of 70 d". */
#include "ini/field_type.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

#define YEAR (366 * 86400.0) /* s: a leap year's */

static bool
read_spell(const char *item, fc_spell *spell)
{
    fc_range time;
    double count;

    if (!fci_read_number(&item, &count) || count < 1 || count > 366
        || count != floor(count))
        return false;
    item += strspn(item, " ");
    if (strncmp(item, "of ", 3) != 0
        || !fci_read_figure(item + 3, FC_TIME, false, &time, NULL)
        || !(time.nominal > 0))
        return false;
    spell->count = (int)count;
    spell->time = time.nominal;
    return true;
}

static fc_status
read_spells(struct fci_value *v, char *part)
{
    const char *list = v->text;
    fc_spell *spell = fci_list_array(v, sizeof *spell, part + v->field->offset,
                                     FCI_INTO(part, v->field->second, size_t));
    char item[128];

    if (!spell)
        return FC_ENOMEM;
    for (; fci_next_item(&list, item, sizeof item); spell++)
        if (!read_spell(item, spell))
            return fci_value_wrong(
                v, item,
                "how often and for how long are expected, such as 50 of 2 d, "
                "1 of 70 d");
    return FC_OK;
}

static void
check_spells(struct fci_value *v, const char *data)
{
    const fc_spell *spells = *FCI_AT(data, v->field->offset, fc_spell *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);
    double sum = 0;

    for (size_t i = 0; i < n; i++) {
        if (spells[i].count < 1 || spells[i].count > FCI_MOST_COUNT
            || !(spells[i].time > 0) || !isfinite(spells[i].time)) {
            fci_value_fail(v,
                           "item %zu is no spell; a count of 1 or more and a "
                           "time above 0 are expected",
                           i + 1);
            return;
        }
        sum += spells[i].count * spells[i].time;
    }
    if (sum > YEAR)
        fci_value_fail(v, "adds up to more than a year; the spells of one "
                          "year are expected");
}

static void
write_spells(struct fci_value *v, const char *data)
{
    const fc_spell *spells = *FCI_AT(data, v->field->offset, fc_spell *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);

    for (size_t i = 0; i < n && v->status == FC_OK; i++) {
        fci_put_comma(v, i);
        fci_put(v, "%d of ", spells[i].count);
        fci_put_range(v, FC_TIME, fc_exactly(spells[i].time));
    }
}

static bool
copy_spells(const struct fci_field *field, char *part, struct fci_arena *arena)
{
    const size_t n = *FCI_AT(part, field->second, size_t);

    return fci_copy_array(part + field->offset, n * sizeof(fc_spell), arena);
}

const struct fci_field_type fci_spells_field = {
    .at = sizeof(fc_spell *),
    .second = sizeof(size_t),
    .item = sizeof(fc_spell),
    .read = read_spells,
    .check = check_spells,
    .write = write_spells,
    .copy = copy_spells,
};
