"""Our kernel before the Jupyter project's own conformance suite (package jupyter_kernel_test)."""

import unittest

import jupyter_kernel_test


class IonbookKernel(jupyter_kernel_test.KernelTests):
    kernel_name = "ionbook"
    language_name = "typescript"
    file_extension = ".ts"
    code_hello_world = 'console.log("hello, world")'
    code_stderr = 'console.error("what went wrong")'
    completion_samples = [
        {"text": "Math.hyp", "matches": {"hypot"}},
        {"text": "Number.isInt", "matches": {"isInteger"}},
    ]
    complete_code_samples = ["const a = 1;", "a + 1", "function twice(x: number) {\n  return 2 * x;\n}"]
    incomplete_code_samples = ["function twice(x: number) {", "const b = [1,", "`an open text"]
    invalid_code_samples = ["const = 3;", "let 5x = 2;"]
    code_generate_error = 'throw new Error("as asked")'
    code_execute_result = [
        {"code": "6 * 7", "result": "42"},
        {"code": '"salt"', "result": "'salt'"},
        {"code": "[1, 2].map((x) => 2 * x)", "result": "[ 2, 4 ]"},
    ]
    code_display_data = [
        {"code": 'import { display } from "tslab";\ndisplay.html("<b>salt</b>")', "mime": "text/html"},
        {
            "code": 'import { display } from "tslab";\ndisplay.svg("<svg xmlns=\\"http://www.w3.org/2000/svg\\"/>")',
            "mime": "image/svg+xml",
        },
    ]
    code_history_pattern = "6*7"
    supported_history_operations = ("tail", "range", "search")
    code_inspect_sample = "Math.sqrt"


if __name__ == "__main__":
    unittest.main()
