/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/pipe_size.c -- what a pipe is like at one of its material's sizes.
 */
#include "site/pipe_size.h"
#include "laws/friction.h"
#include "site/resolve.h"

#include <math.h>

double
fci_equivalent_length(const struct fci_pipe *pipe, double nominal)
{
    const fc_pipe *given = pipe->given;
    double sum = 0, length;
    bool column;
    size_t i;

    for (i = 0; i < given->n_fittings; i++) {
        length =
            fci_fittings_length(pipe->material->fittings,
                                given->fittings[i].name, nominal, &column);
        if (!isnan(length))
            sum += given->fittings[i].count * length;
    }
    return sum;
}

fc_condition
fci_pipe_condition(const fc_site *site, const struct fci_pipe *pipe)
{
    return pipe->given->condition != FC_CONDITION_UNKNOWN
               ? pipe->given->condition
               : site->settings.condition;
}

fc_range
fci_table_c(const fc_site *site, const struct fci_pipe *pipe, bool old)
{
    const struct fci_material *material = pipe->material;
    const fc_condition condition = fci_pipe_condition(site, pipe);
    const double aged = old ? material->c_old : material->c_aged;
    fc_range c = condition == FC_NEW    ? fc_exactly(material->c_new)
                 : condition == FC_AGED ? fc_between(aged, material->c_aged)
                                        : fc_between(aged, material->c_new);

    fci_widen(&c, &site->tolerance.c, 1);
    return c;
}

struct fci_pipe
fci_pipe_anew(const fc_site *site, const struct fci_pipe *pipe)
{
    struct fci_pipe anew = *pipe;

    anew.measured_bore = false;
    anew.scale.given = false;
    if (pipe->given->c.given || pipe->scale.given)
        anew.c = fci_table_c(site, pipe, false);
    return anew;
}

struct fci_pipe
fci_pipe_of(const fc_site *site, const struct fci_pipe *pipe,
            const struct fci_material *material)
{
    struct fci_pipe other = *pipe;

    other.material = material;
    other.measured_bore = false;
    other.scale.given = false;
    other.c = fci_table_c(site, &other, false);
    if (!pipe->given->velocity_limit.given
        && !site->settings.velocity_limit.given)
        other.velocity_limit = material->velocity_limit;
    return other;
}

bool
fci_is_rougher(const fc_site *site, const struct fci_pipe *pipe,
               const struct fci_material *material)
{
    const fc_pipe *given = pipe->given;
    bool known = true;
    size_t i;

    for (i = 0; i < given->n_fittings && known; i++)
        fci_fittings_length(material->fittings, given->fittings[i].name, 0,
                            &known);
    return known && pipe->material != material
           && pipe->c.low < fci_pipe_of(site, pipe, material).c.low;
}

static double
share_at(fc_range share, enum fci_end end)
{
    return share.given ? fci_more_is_worse(share, end) : 0;
}

fc_range
fci_pipe_bore(const struct fci_pipe *pipe)
{
    fc_range bore = pipe->bore;

    bore.low *= 1 - pipe->scale.high;
    bore.nominal *= 1 - pipe->scale.nominal;
    bore.high *= 1 - pipe->scale.low;
    return bore;
}

double
fci_fittings_worth(const struct fci_pipe *pipe)
{
    return share_at(pipe->allowance, FCI_NOMINAL) * pipe->length.nominal
           + pipe->equivalent;
}

double
fci_pipe_resistance(double weight, const struct fci_pipe *pipe, fc_range bore,
                    double equivalent, enum fci_end end)
{
    const double scale = share_at(pipe->scale, end);
    const double allowance = share_at(pipe->allowance, end);

    return fci_friction_resistance(
        weight, (1 - scale) * fci_less_is_worse(bore, end),
        fci_less_is_worse(pipe->c, end),
        (1 + allowance) * fci_more_is_worse(pipe->length, end) + equivalent);
}

double
fci_resistance_at(double weight, const struct fci_pipe *pipe,
                  const struct fci_size *size, enum fci_end end)
{
    return fci_pipe_resistance(weight, pipe, fc_exactly(size->bore),
                               fci_equivalent_length(pipe, size->nominal),
                               end);
}
