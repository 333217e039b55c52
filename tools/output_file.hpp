// An answer into a file instead of standard output.
#pragma once

#include <initializer_list>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/plan/dossier.hpp"
#include "command.hpp"

namespace coldgrease::tools {

/// Writes a fresh file in the same folder, has it put on the disk and renames it: what stood at `path` stays whole,
/// with its mode, until the new text does, whenever it is killed, and of many writers one comes last. A link is
/// followed; into a pipe, a device or where standard output goes it is written as it comes. What killed writers left is
/// removed.
/// @param inputs  files that the answer was made from: none of them is written over
/// @throws input_error for one of the inputs, file_error if it cannot be written
void write_file(const std::string& path, const std::string& text, std::span<const input_file> inputs = {});

/// Writes a file that is not there yet, onto the disk. @throws file_error if it is there, or cannot be written: nothing
/// is left then
void write_fresh_file(const std::string& path, const std::string& text);

/// ".html" of "page.HTML".
std::string ending_of(std::string_view path);

/// Refuses a name that promises another format than a command writes, such as report.pdf.
/// @param endings  that it may have; one that promises nothing known may always stand
void check_promise(std::string_view path, std::initializer_list<std::string_view> endings);

/// The files that an answer about a fleet is made from.
std::vector<input_file> inputs_of(const fleet& f);

/// What goes to standard output: the text, or, where -o names a file, which then holds it, a line that says so.
std::string written(const arguments& given, const std::string& text, std::span<const input_file> inputs);

}  // namespace coldgrease::tools
