/*
 * Do the zones of a vessel leave any of its height over? Asked of heights where every zone states both of its own and the vessel
 * its length between tangent lines: a zone that ends where none begins leaves a gap, which has the metal of the shell, and a lining
 * ends there. Heads belong to the zones that reach the tangent lines.
 */
#ifndef LEANRICH_COVERAGE_H
#define LEANRICH_COVERAGE_H

#include "compute/scene.h"
#include "resolve/extent.h"

enum coverage { COVERAGE_NOT_STATED, COVERAGE_GAP, COVERAGE_WHOLE };

/* Of the height above `from`, m. `gap`: the lowest there, where there is one; the next one begins at its end or above. */
enum coverage coverage_of(const struct scene *scene, const struct item *vessel, double from, struct extent *gap);

#endif
