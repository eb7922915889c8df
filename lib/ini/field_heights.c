/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/field_heights.c -- elevations: a figure, or one over a floor that
 * has a name. */
#include "ground/characters.h"
#include "ini/field_type.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

#define EXPECTED                                                              \
    "an elevation is expected, such as 24 ft, floor 3 or floor 3 + 2 ft"

/* Behind the word "floor"; NULL: the value does not begin with it. */
static const char *
behind_floor(const char *text)
{
    const size_t n = fci_match(text, "floor");

    return n > 0 && (text[n] == ' ' || text[n] == '\0')
               ? fci_skip_blanks(text + n)
               : NULL;
}

static fc_range
below(fc_range above)
{
    return (fc_range){ true, -above.nominal, -above.high, -above.low };
}

/* What stands behind the name of a floor: nothing, or how far it is above or
 * below. */
static fc_status
read_offset(struct fci_value *v, const char *text, fc_range *offset)
{
    struct fci_reason why;

    if (!*text)
        return FC_OK;
    if ((*text != '+' && *text != '-')
        || !fci_read_figure(fci_skip_blanks(text + 1), FC_LENGTH, true, offset,
                            &why))
        return fci_value_wrong(v, v->text, EXPECTED);
    if (*text == '-')
        *offset = below(*offset);
    return FC_OK;
}

static fc_status
read_height(struct fci_value *v, char *part)
{
    const char *name = behind_floor(v->text);
    fc_range *offset = FCI_INTO(part, v->field->offset, fc_range);
    const char **floor = FCI_INTO(part, v->field->second, const char *);
    struct fci_reason why;
    size_t n;

    if (!name)
        return fci_read_figure(v->text, FC_LENGTH, true, offset, &why)
                   ? FC_OK
                   : fci_value_fail(v, "%s", why.text);
    n = strcspn(name, " ");
    if (n == 0)
        return fci_value_wrong(v, v->text, EXPECTED);
    *floor = fci_arena_substring(v->arena, name, n);
    return *floor ? read_offset(v, fci_skip_blanks(name + n), offset)
                  : FC_ENOMEM;
}

static void
check_height(struct fci_value *v, const char *data)
{
    const char *floor = *FCI_AT(data, v->field->second, char *);

    fci_check_range(v, v->field, *FCI_AT(data, v->field->offset, fc_range));
    if (floor && !*floor)
        fci_value_fail(v, "is over a floor without a name; its name is "
                          "expected");
    else if (floor)
        fci_check_text(v, floor);
}

static void
write_height(struct fci_value *v, const char *data)
{
    const fc_range offset = *FCI_AT(data, v->field->offset, fc_range);
    const char *floor = *FCI_AT(data, v->field->second, char *);

    if (floor)
        fci_put(v, "floor %s", floor);
    if (floor && offset.given)
        fci_put(v, offset.high < 0 ? " - " : " + ");
    fci_put_range(v, FC_LENGTH,
                  floor && offset.high < 0 ? below(offset) : offset);
}

static bool
copy_height(const struct fci_field *field, char *part, struct fci_arena *arena)
{
    const char **floor = FCI_INTO(part, field->second, const char *);

    if (!*floor)
        return true;
    *floor = fci_arena_string(arena, *floor);
    return *floor != NULL;
}

const struct fci_field_type fci_height_field = {
    .at = sizeof(fc_range),
    .second = sizeof(const char *),
    .read = read_height,
    .check = check_height,
    .write = write_height,
    .copy = copy_height,
};
