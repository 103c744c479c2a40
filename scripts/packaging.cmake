# What `cmake --install` puts where, and the Debian package that `cpack -G DEB` makes of it.
include(GNUInstallDirs)

# Manual page and completion come from the program's own descriptions of its options.
set(splitstart_manual ${CMAKE_BINARY_DIR}/generated/splitstart.1)
set(splitstart_completion ${CMAKE_BINARY_DIR}/generated/splitstart.bash)
add_custom_command(
  OUTPUT ${splitstart_manual}.gz ${splitstart_completion}
  COMMAND ${CMAKE_COMMAND} -E env ASAN_OPTIONS=detect_leaks=0 $<TARGET_FILE:splitstart> --manual-page > ${splitstart_manual}
  COMMAND gzip -9nkf ${splitstart_manual}
  COMMAND ${CMAKE_COMMAND} -E env ASAN_OPTIONS=detect_leaks=0 $<TARGET_FILE:splitstart> --bash-completion > ${splitstart_completion}
  DEPENDS splitstart
  VERBATIM)
add_custom_target(splitstart_described ALL DEPENDS ${splitstart_manual}.gz ${splitstart_completion})

install(TARGETS splitstart RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(FILES ${splitstart_manual}.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${splitstart_completion} DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions
        RENAME splitstart)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/models DESTINATION ${CMAKE_INSTALL_DATADIR}/splitstart)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/scripts/ngspice DESTINATION ${CMAKE_INSTALL_DATADIR}/splitstart
        USE_SOURCE_PERMISSIONS)
install(PROGRAMS ${PROJECT_SOURCE_DIR}/scripts/sweep-over-hosts ${PROJECT_SOURCE_DIR}/scripts/sweep-slurm
        DESTINATION ${CMAKE_INSTALL_DATADIR}/splitstart/scripts)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/examples DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES ${PROJECT_SOURCE_DIR}/README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES ${PROJECT_SOURCE_DIR}/netgen/case/README.md ${PROJECT_SOURCE_DIR}/netgen/case/PARTS.md
              ${PROJECT_SOURCE_DIR}/netgen/case/SYMPTOMS.md
        DESTINATION ${CMAKE_INSTALL_DOCDIR}/netgen/case)
# Pages hold dygraphs as Debian ships it (MIT); its own notice stands in it.
file(READ ${PROJECT_SOURCE_DIR}/LICENSE licence)
file(WRITE ${CMAKE_BINARY_DIR}/generated/copyright
     "${licence}\nThe program holds dygraphs, MIT licence; see /usr/share/doc/libjs-dygraphs/copyright.\n")
install(FILES ${CMAKE_BINARY_DIR}/generated/copyright DESTINATION ${CMAKE_INSTALL_DOCDIR})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME splitstart)
set(CPACK_PACKAGE_CONTACT "the splitstart project <splitstart@localhost>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "start circuits of single-phase compressors, computed in ngspice")
set(CPACK_PACKAGE_DESCRIPTION
    "Which pin of a single-phase hermetic compressor is common, start and run,\nwhether its windings are sound and its start parts suit it; wiring,\ndiagnosis, sweeps, reports and lessons. Everything is also a netlist that\nstock ngspice runs.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
# Loaded at run time, so that no tool finds it.
set(CPACK_DEBIAN_PACKAGE_DEPENDS libngspice0)
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS ngspice)
set(CPACK_DEBIAN_PACKAGE_SUGGESTS parallel)
include(CPack)
