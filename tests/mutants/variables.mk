# SPDX-License-Identifier: GPL-3.0-or-later
# tests/mutants/variables.mk -- what tests/mutants/mutants.py asks of the
# Makefile: make -f Makefile -f ../tests/mutants/variables.mk mutants-variables
mutants-variables:
	@:$(info compile=$(CC) $(DEFS) $(DEFAULT_INCLUDES) $(INCLUDES) \
	  $(lib_libflushcalc_all_la_CPPFLAGS) $(CPPFLAGS) \
	  $(lib_libflushcalc_all_la_CFLAGS) $(CFLAGS) -fPIC)
	@:$(info objects=$(lib_libflushcalc_all_la_OBJECTS))
	@:$(info link=$(CC) $(CFLAGS) -pthread)
	@:$(info libs=$(lib_libflushcalc_all_la_LIBADD) $(CHECK_LIBS) \
	  $(LIBXML2_LIBS) $(DL_LIBS) -lm)
	@:$(foreach p,$(check_PROGRAMS), \
	  $(info program=$(p) $($(subst /,_,$(p))_OBJECTS)))
	@:$(info command=$(flushcalc_OBJECTS))
.PHONY: mutants-variables
