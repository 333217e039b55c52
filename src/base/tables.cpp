#include "coldgrease/base/tables.hpp"

#include <cstdlib>
#include <filesystem>

#include "base/embedded_tables.hpp"
#include "base/json_node.hpp"

namespace coldgrease::inline v0 {

namespace {

const detail::embedded_table* embedded(std::string_view name) {
  for (const detail::embedded_table& t : detail::embedded_tables) {
    if (t.name == name) return &t;
  }
  return nullptr;
}

std::optional<std::string> folder_of_environment() {
  const char* folder = std::getenv("COLDGREASE_TABLES");
  return folder && *folder ? std::optional<std::string>(folder) : std::nullopt;
}

}  // namespace

std::optional<std::string> demo_folder() {
  const auto folder = std::filesystem::path(folder_of_environment().value_or(COLDGREASE_INSTALLED_TABLES)) / "demo";
  std::error_code ignored;
  return std::filesystem::is_directory(folder, ignored) ? std::optional(folder.string()) : std::nullopt;
}

table_file find_table(std::string_view name) {
  const detail::embedded_table* built_in = embedded(name);
  if (!built_in) throw input_error("table", in_quotes(name) + " is no table of this library");
  if (const auto folder = folder_of_environment()) {
    const std::string path = std::filesystem::path(*folder) / name;
    return {std::string(name), path, path};
  }
  const std::string installed = std::filesystem::path(COLDGREASE_INSTALLED_TABLES) / name;
  std::error_code ignored;
  if (std::filesystem::is_regular_file(installed, ignored)) return {std::string(name), installed, installed};
  return {std::string(name), "built in", source::memory(std::string(name), std::string(built_in->text))};
}

std::vector<table_answer> tables_in_force() {
  constexpr int known_schema = 1;
  std::vector<table_answer> answers;
  for (const detail::embedded_table& t : detail::embedded_tables) {
    const table_file file = find_table(t.name);
    const detail::json_document document(file.file);
    const detail::json_node root = document.root();
    const int schema = root.need("schema").whole_number(known_schema, known_schema);
    answers.push_back({file.name, file.found_in, schema, static_cast<int>(root.need("rows").items().size()),
                       root.need("about").text(), root.need("source").text()});
  }
  return answers;
}

}  // namespace coldgrease::inline v0
