/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc.h -- can a building's cold-water supply serve its flush valves?
 *
 * Copyright (C) 2026 the flushcalc authors
 *
 * A program builds a site (fc_site) from a site file or by calls, finishes it,
 * and asks for a check.  Everything is in SI inside: m, m3, m3/s, m/s, Pa
 * (gauge), s, degC; a nominal size is a label held in metres (1-1/4 in is
 * 0.03175).  fc_from_si() turns a figure into the trade's units for print.
 *
 * Ownership: what fc_x_new or fc_x_read returns is freed with fc_x_free, which
 * takes NULL.  Strings given to the library are copied; strings it returns are
 * borrowed and live as long as the object they were read from.
 *
 * Growth: a program built with this header runs with any later library of the
 * same soname.  A caller sets a struct that it makes to all zero first, since
 * a new member is "not given" when zero, and takes the place of some FC_ROOM
 * at the end, which stays zero until then.  Results as a whole
 * (fc_check_result, fc_flush_result, fc_effects, fc_path, fc_size_result,
 * fc_remedies, fc_verify_result, fc_diagnosis, fc_quick_result) come from the
 * library alone and grow at their end, so that no caller copies one or asks
 * for its size. Any other struct has FC_ROOM, or is whole as it is and never
 * grows. Enumerations grow at their end: a switch has a default.
 *
 * Wrong calls: NULL for what is needed, a value that is none of its enum, a
 * count of what is not there and the like are FC_EINPUT, and said; results
 * stay untouched.
 *
 * The library prints nothing, never exits and keeps no state between calls:
 * two threads may work on two sites, and a process may fork while they do.
 * While it works something out it may set GSL's process-wide error handler
 * aside for a moment, and then puts it back.
 */
#ifndef FLUSHCALC_H
#define FLUSHCALC_H

#include "flushcalc/base.h"
#include "flushcalc/site.h"
#include "flushcalc/check.h"
#include "flushcalc/compare.h"
#include "flushcalc/sites.h"
#include "flushcalc/sweep.h"
#include "flushcalc/flush.h"
#include "flushcalc/effects.h"
#include "flushcalc/path.h"
#include "flushcalc/quick.h"
#include "flushcalc/size.h"
#include "flushcalc/remedies.h"
#include "flushcalc/verify.h"
#include "flushcalc/diagnose.h"
#include "flushcalc/tables.h"
#include "flushcalc/report.h"
#include "flushcalc/starter.h"

#endif
