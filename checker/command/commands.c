#include "command/commands.h"

#include <dirent.h>
#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/embedded.h"
#include "base/output.h"
#include "base/text.h"
#include "judge/built.h"
#include "judge/change_check.h"
#include "judge/citation.h"
#include "pipeline/compute_unit.h"
#include "pipeline/stages.h"
#include "read/built_vocabulary.h"
#include "read/document.h"

static const struct embedded_file *schema_of(const char *name)
{
	const struct embedded_file *file = embedded_find(name);
	if (!file)
		abort();
	return file;
}

const struct vocabulary *unit_vocabulary(struct arena *arena)
{
	const struct embedded_file *file = schema_of("checker/read/unit.xsd");
	if (!built_units.element_count)
		return vocabulary_read(arena, (const char *)file->data, file->size, "unit");
	struct vocabulary *units = arena_alloc(arena, sizeof *units);
	*units = built_units;
	units->xsd = (const char *)file->data;
	units->xsd_size = file->size;
	return units;
}

const struct vocabulary *rules_vocabulary(struct arena *arena)
{
	const struct embedded_file *file = schema_of("checker/judge/rules.xsd");
	return vocabulary_read(arena, (const char *)file->data, file->size, "rules sources profile");
}

/* ---- the catalogue and its packs ---- */

struct files {
	struct arena *arena;
	struct rule_file *rows;
	size_t count, capacity;
};

static const char *base_name(const char *path)
{
	const char *slash = strrchr(path, '/');
	return slash ? slash + 1 : path;
}

/* A file of the same name as one that is there replaces it: that is how a pack overrides a family as a whole. */
static void add_file(struct files *files, struct rule_file file)
{
	for (size_t i = 0; i < files->count; i++)
		if (strcmp(base_name(files->rows[i].name), base_name(file.name)) == 0) {
			files->rows[i] = file;
			return;
		}
	files->rows = arena_grow(files->arena, files->rows, files->count, &files->capacity, sizeof *files->rows);
	files->rows[files->count++] = file;
}

static void add_embedded(struct files *files)
{
	for (size_t i = 0; i < embedded_count; i++) {
		const struct embedded_file *file = &embedded_files[i];
		bool rules = strncmp(file->name, "rules/", 6) == 0 && !strchr(file->name + 6, '/');
		if (rules)
			add_file(files,
				(struct rule_file){.name = file->name,
					.bytes = (const char *)file->data,
					.size = file->size,
					.built_in = true});
	}
}

static int by_name(const void *a, const void *b)
{
	return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static const char **names_in(struct files *files, DIR *folder, size_t *count)
{
	const char **names = NULL;
	size_t capacity = 0;
	for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
		size_t length = strlen(entry->d_name);
		if (length < 5 || strcmp(entry->d_name + length - 4, ".xml") != 0)
			continue;
		names = arena_grow(files->arena, names, *count, &capacity, sizeof *names);
		names[(*count)++] = arena_copy(files->arena, entry->d_name);
	}
	if (names)
		qsort(names, *count, sizeof *names, by_name);
	return names;
}

static bool read_from_disk(struct arena *arena, const char *path, struct problems *problems, struct rule_file *out)
{
	struct text bytes;
	if (!document_bytes(arena, path, problems, &bytes))
		return false;
	*out = (struct rule_file){.name = path, .bytes = bytes.data, .size = bytes.length};
	return true;
}

/* What a folder of packs may be: some forty times the rules inside the program, so that a stranger's cannot take the machine. */
enum { FOLDER_MOST_FILES = 1000, FOLDER_MOST_BYTES = 16 * 1024 * 1024 };

static void add_folder(struct files *files, const char *path, struct problems *problems)
{
	DIR *folder = opendir(path);
	size_t count = 0, bytes = 0;
	if (!folder) {
		problem_add(problems, PROBLEM_UNREADABLE, (struct place){.file = path}, "%s", strerror(errno));
		return;
	}
	const char **names = names_in(files, folder, &count);
	closedir(folder);
	if (count == 0)
		problem_add(problems, PROBLEM_EMPTY, (struct place){.file = path}, "the folder holds no .xml file");
	if (count > FOLDER_MOST_FILES)
		problem_add(problems, PROBLEM_TOO_LARGE, (struct place){.file = path},
			"the folder holds %zu .xml files; rule packs are at most %d", count, FOLDER_MOST_FILES);
	for (size_t i = 0; i < count && i < FOLDER_MOST_FILES && bytes <= FOLDER_MOST_BYTES; i++) {
		struct rule_file file;
		if (read_from_disk(
			    files->arena, arena_format(files->arena, "%s/%s", path, names[i]), problems, &file)) {
			add_file(files, file);
			bytes += file.size;
		}
	}
	if (bytes > FOLDER_MOST_BYTES)
		problem_add(problems, PROBLEM_TOO_LARGE, (struct place){.file = path},
			"the .xml files of the folder are larger than %d MiB together",
			FOLDER_MOST_BYTES / (1024 * 1024));
}

static const char *built_in_profile(struct arena *arena, const char *profile)
{
	return arena_format(arena, "rules/profiles/%s.xml", profile ? profile : "default");
}

static bool find_profile(struct arena *arena, const char *profile, struct problems *problems, struct rule_file *out)
{
	const char *name = built_in_profile(arena, profile);
	const struct embedded_file *built_in = embedded_find(name);
	if (!built_in)
		return read_from_disk(arena, profile, problems, out);
	*out = (struct rule_file){
		.name = name, .bytes = (const char *)built_in->data, .size = built_in->size, .built_in = true};
	return true;
}

const struct catalogue *load_catalogue(
	struct arena *arena, const char *folder, const char *profile, struct problems *problems)
{
	const struct catalogue *built = folder ? NULL : built_find(built_in_profile(arena, profile));
	return built ? built : read_catalogue(arena, folder, profile, problems);
}

const struct catalogue *read_catalogue(
	struct arena *arena, const char *folder, const char *profile, struct problems *problems)
{
	struct files files = {.arena = arena};
	struct rule_file chosen;
	size_t before = problems->count;
	add_embedded(&files);
	if (folder)
		add_folder(&files, folder, problems);
	find_profile(arena, profile, problems, &chosen);
	if (problems->count != before)
		return NULL;
	const struct catalogue *catalogue =
		catalogue_read(arena, files.rows, files.count, &chosen, rules_vocabulary(arena), problems);
	if (catalogue && folder) { /* the rules inside the program are checked by its tests */
		citations_check(catalogue, unit_vocabulary(arena), problems);
		changes_check(catalogue, unit_vocabulary(arena), problems);
	}
	if (problems->count == before)
		return catalogue;
	catalogue_release(catalogue);
	return NULL;
}

/* ---- descriptions ---- */

bool workspace_open(struct workspace *workspace, const char *rules, const char *profile)
{
	*workspace = (struct workspace){.catalogue = NULL};
	workspace->problems.arena = &workspace->arena;
	workspace->catalogue = load_catalogue(&workspace->arena, rules, profile, &workspace->problems);
	workspace->vocabulary = unit_vocabulary(&workspace->arena);
	return workspace->catalogue != NULL;
}

void workspace_close(struct workspace *workspace)
{
	catalogue_release(workspace->catalogue);
	arena_release(&workspace->arena);
}

const struct element *workspace_read(struct workspace *workspace, const char *path, const struct table **table)
{
	struct resolved_unit read;
	if (!stages_read_file(
		    &workspace->arena, path, workspace->vocabulary, workspace->catalogue, &workspace->problems, &read))
		return NULL;
	*table = compute_table(&workspace->arena, read.table, ANALYSES_ALL);
	return read.unit;
}

/* ---- documents ---- */

/* Letters, digits, dot, dash and underscore stay, so that a hostile number cannot leave the folder. */
const char *unit_folder(struct arena *arena, const char *output, const char *number)
{
	enum { LONGEST = 100 };
	char *safe = arena_copy(arena, number && *number ? number : "unit");
	for (char *c = safe; *c; c++)
		if (!strchr("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.", *c))
			*c = '_';
	if (safe[0] == '.')
		safe[0] = '_';
	if (strlen(safe) > LONGEST)
		safe[LONGEST] = '\0';
	return arena_format(arena, "%s/%s", output ? output : "reports", safe);
}

int cannot_write(const char *path, const char *reason)
{
	fprintf(stderr, "leanrich: cannot write %s: %s\n", path, reason);
	return STATUS_IO;
}

int write_whole(struct arena *arena, const char *path, bool (*writer)(const void *data, FILE *out), const void *data)
{
	struct output output = output_open(arena, path);
	if (output.stream && output_close(arena, &output, writer(data, output.stream)))
		return STATUS_FINE;
	return cannot_write(path, output.reason);
}

/* ---- reporting ---- */

int report_problems(struct problems *problems)
{
	problem_sort(problems);
	for (size_t i = 0; i < problems->count; i++)
		fprintf(stderr, "%s\n", problem_line(problems, &problems->rows[i]));
	return problems->unreadable ? STATUS_IO : STATUS_UNUSABLE;
}

int usage_fault(const char *command, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	fprintf(stderr, "leanrich %s: ", command);
	vfprintf(stderr, format, arguments);
	fprintf(stderr, "; `leanrich %s --help` lists the options\n", command);
	va_end(arguments);
	return STATUS_USAGE;
}

int finish_output(int status)
{
	if (fflush(stdout) == 0 && !ferror(stdout))
		return status;
	fprintf(stderr, "leanrich: cannot write to standard output: %s\n", strerror(errno));
	return STATUS_IO;
}
