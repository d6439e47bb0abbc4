#include <criterion/criterion.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/embedded.h"

static void expect_same_as_on_disk(const struct embedded_file *file)
{
	FILE *disk = fopen(file->name, "rb");
	cr_assert_not_null(disk, "%s: carried but not on disk", file->name);
	char *bytes = malloc(file->size + 1);
	cr_assert_not_null(bytes);
	size_t read = fread(bytes, 1, file->size + 1, disk);
	fclose(disk);
	cr_expect(read == file->size && memcmp(bytes, file->data, read) == 0, "%s: differs from disk", file->name);
	cr_expect(file->data[file->size] == 0, "%s: no NUL after it", file->name);
	free(bytes);
}

Test(embedded, files_are_those_on_disk)
{
	for (size_t i = 0; i < embedded_count; i++)
		expect_same_as_on_disk(&embedded_files[i]);
	cr_expect_null(embedded_files[embedded_count].name);
}

Test(embedded, every_name_is_found_and_no_other)
{
	for (size_t i = 0; i < embedded_count; i++) {
		cr_expect(embedded_find(embedded_files[i].name) == &embedded_files[i], "%s", embedded_files[i].name);
		if (i > 0)
			cr_expect(strcmp(embedded_files[i - 1].name, embedded_files[i].name) < 0, "order at %s",
				embedded_files[i].name);
	}
	cr_expect_null(embedded_find(""));
	cr_expect_null(embedded_find("rules"));
	cr_expect_null(embedded_find("zzz"));
}
