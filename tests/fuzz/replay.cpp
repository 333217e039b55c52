// In the place of libFuzzer's main where a compiler has none: a target takes every file of the folders given.
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

int main(int count, char** words) {
  int taken = 0;
  for (int i = 1; i < count; ++i) {
    if (*words[i] == '-') continue;  // an option of libFuzzer
    for (const auto& entry : std::filesystem::directory_iterator(words[i])) {
      std::fprintf(stderr, "%s\n", entry.path().c_str());  // the last one is at fault if the program ends here
      std::ifstream file(entry.path(), std::ios::binary);
      const std::string bytes(std::istreambuf_iterator<char>(file), {});
      LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
      ++taken;
    }
  }
  return taken > 0 ? 0 : 1;
}
