/*
 * A text from a format, as vsnprintf has it, at a tenth of the instructions where only texts and whole numbers go in, which is most
 * of what is said here.
 */
#ifndef LEANRICH_FORMAT_H
#define LEANRICH_FORMAT_H

#include <stdarg.h>
#include <stddef.h>

/*
 * Writes at most room - 1 bytes and a NUL; gives how many bytes the whole text has. Aborts where the format is wrong, which is a bug
 * of the program.
 */
size_t format_text(char *out, size_t room, const char *format, va_list arguments) __attribute__((format(printf, 3, 0)));

#endif
