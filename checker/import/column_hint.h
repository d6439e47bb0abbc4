/* What kind of column a tag is of that nothing names: by the streams that go there and come from there. */
#ifndef LEANRICH_IMPORT_COLUMN_HINT_H
#define LEANRICH_IMPORT_COLUMN_HINT_H

#include "import/sheet.h"

/*
 * "Sour gas to C-1", "Rich amine from C-1": an absorber; "Rich amine to C-2", "Lean amine from C-2": a regenerator. Only for
 * tags whose letters columns have (C, T, K, CO, COL). NULL: nothing speaks of it, or of both.
 */
const char *column_hint(struct arena *arena, const struct workbook *workbooks, size_t count, const char *tag);

#endif
